package ladder_test

import (
	"encoding/json"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"fettle/routines"
	"fettle/routines/ladder"
	"fettle/routines/replay"
)

// value finds a number in a finding.
func value(f routines.Finding, name string) float64 {
	for _, v := range f.Values {
		if v.Name == name {
			return v.Value
		}
	}
	return math.NaN()
}

// TestFindsTheLength: on direct drives and tubes, from the first piece to the docket's entries; the length found lies within
// 0.25 mm of the shortest that truly suffices, and each prefix of the run replays.
func TestFindsTheLength(t *testing.T) {
	for _, c := range []struct {
		name    string
		truthMM float64
		alter   func(*bench)
	}{{"direct, short", 0.6, nil}, {"direct, long", 1.4, nil}, {"tube", 4.3, onTube}, {"tube, long", 6.1, onTube}} {
		t.Run(c.name, func(t *testing.T) {
			b := newBench(t, c.truthMM).proven()
			if c.alter != nil {
				c.alter(b)
			}
			begin, f, err := b.run(ladder.Length(), `{}`)
			if err != nil || f.Kind != ladder.Found {
				t.Fatalf("%+v, %v", f, err)
			}
			got := value(f, "retraction_length_mm")
			if math.Abs(got-c.truthMM) > 0.25+0.05 {
				t.Errorf("found %g mm, true %g", got, c.truthMM)
			}
			if pieces := value(f, "pieces"); pieces > 6 {
				t.Errorf("%g pieces", pieces)
			}
			var kinds []string
			for _, r := range b.records {
				kinds = append(kinds, r.Kind)
			}
			for _, want := range []string{"piece", "band", "grades", "retraction_length_mm", "retract_speed_mm_per_s", "fan_percent"} {
				if !strings.Contains(strings.Join(kinds, " "), want) {
					t.Errorf("no entry %s among %v", want, kinds)
				}
			}
			if last := b.did[len(b.did)-1]; last != "cool" {
				t.Errorf("last it did %q, not cool", last)
			}
			replay.EveryPrefix(t, ladder.Length(), begin, b.facts, f)
			t.Logf("%g mm for %g, %g pieces, %.2f m", got, c.truthMM, value(f, "pieces"), b.filament/1000)
		})
	}
}

// TestOverDays: a ladder left for later goes on in another run from the records alone.
func TestOverDays(t *testing.T) {
	b := newBench(t, 1.1).proven()
	b.says["piece 2"] = `{"next":"later"}`
	_, f, err := b.run(ladder.Length(), `{}`)
	if err != nil || f.Kind != ladder.Later || value(f, "pieces") != 1 {
		t.Fatalf("%+v, %v", f, err)
	}
	delete(b.says, "piece 2")
	b.questions = nil
	_, f, err = b.run(ladder.Length(), `{}`)
	if err != nil || f.Kind != ladder.Found || b.questions[0].Name != "piece 2" {
		t.Fatalf("%+v, %v, first asked %q", f, err, b.questions[0].Name)
	}
}

// TestCutOff: a piece that was cut off is graded as far as it is whole, before another is printed.
func TestCutOff(t *testing.T) {
	b := newBench(t, 1.1).proven()
	b.breaks = "piece 1 band F"
	if _, _, err := b.run(ladder.Length(), `{}`); err == nil {
		t.Fatal("it went on without a cable")
	}
	b.breaks, b.questions = "", nil
	_, f, err := b.run(ladder.Length(), `{}`)
	if err != nil || f.Kind != ladder.Found {
		t.Fatalf("%+v, %v", f, err)
	}
	first := b.questions[0]
	var names []string
	for _, field := range first.Fields {
		if strings.HasSuffix(field.Name, "_grade") {
			names = append(names, field.Name)
		}
	}
	if first.Name != "grades 1" || strings.Join(names, " ") != "a_grade b_grade c_grade d_grade e_grade" && strings.Join(names, " ") != "a_grade b_grade c_grade d_grade" {
		t.Errorf("first asked %q for %v", first.Name, names)
	}
}

// TestRefusals: what would measure something else, or in vain, is refused by the field that overrides it.
func TestRefusals(t *testing.T) {
	judged := func(b *bench) {
		b.says["piece 2"] = `{"next":"later"}`
		if _, _, err := b.run(ladder.Length(), `{}`); err != nil {
			b.t.Fatal(err)
		}
		b.says = map[string]string{}
	}
	limited := func(b *bench) {
		v := 4.0
		b.record("r0", b.material.ID, routines.Entry{Kind: "flow_limit_mm3_per_s", Value: &v, Unit: "mm³/s"})
	}
	popped := func(b *bench) {
		b.record("r0", b.material.ID, routines.Entry{Kind: "feed_pass", Body: json.RawMessage(`{"strand":"popping"}`)})
	}
	for _, c := range []struct {
		name, inputs, field string
		feed                bool
		alter               func(*bench)
	}{
		{"never checked", `{}`, "without_feed_check", false, nil},
		{"never checked, overridden", `{"without_feed_check":true}`, "", false, nil},
		{"stale", `{}`, "without_feed_check", true, func(b *bench) {
			b.record("", "", routines.Entry{Kind: "change", Body: json.RawMessage(`{"what":"new_gear"}`)})
		}},
		{"damp", `{}`, "damp_anyway", true, popped},
		{"damp, overridden", `{"damp_anyway":true}`, "", true, popped},
		{"two variables", `{"nozzle_c":205}`, "afresh", true, judged},
		{"two variables, the fan", `{"fan_percent":50}`, "afresh", true, judged},
		{"two variables, the bed", `{"bed_c":70}`, "afresh", true, judged},
		{"two variables, a retract speed of the docket", `{}`, "afresh", true, func(b *bench) {
			judged(b)
			v := 45.0
			b.record("", b.material.ID, routines.Entry{Kind: "retract_speed_mm_per_s", Value: &v, Unit: "mm/s"})
		}},
		{"two variables, a piece that nobody has judged yet", `{"nozzle_c":205}`, "afresh", true, func(b *bench) {
			b.breaks = "piece 1 band F"
			if _, _, err := b.run(ladder.Length(), `{}`); err == nil {
				b.t.Fatal("it went on without a cable")
			}
			b.breaks = ""
		}},
		{"nothing to compare with, since no band was whole", `{"nozzle_c":205}`, "", true, func(b *bench) {
			b.breaks = "piece 1 band B"
			if _, _, err := b.run(ladder.Length(), `{}`); err == nil {
				b.t.Fatal("it went on without a cable")
			}
			b.breaks = ""
			b.records = slices.DeleteFunc(b.records, func(r routines.Record) bool { return r.Kind == "band" })
		}},
		{"too fast for the flow limit", `{"print_mm_per_s":60}`, "print_mm_per_s", true, limited},
		{"as fast as the flow limit lets it", `{}`, "", true, limited},
		{"a bed too small for two gaps", `{}`, "setup", true, func(b *bench) { b.setup.BuildXMM = 60 }},
		{"a printer without a bed heater", `{}`, "", true, func(b *bench) { b.setup.BedMaxC = 0 }},
		{"the same again", `{}`, "", true, judged},
		{"begun afresh", `{"nozzle_c":205,"afresh":true}`, "", true, judged},
		{"too hot for the material", `{"nozzle_c":240}`, "nozzle_c", true, nil},
		{"a ceiling that is none", `{"past_ceiling_mm":1.5}`, "past_ceiling_mm", true, nil},
		{"a ceiling too high", `{"past_ceiling_mm":5}`, "past_ceiling_mm", true, nil},
		{"a ceiling lifted", `{"past_ceiling_mm":3}`, "", true, nil},
		{"a ceiling beyond the cold side", `{"past_ceiling_mm":3}`, "past_ceiling_mm", true, func(b *bench) { b.setup.ColdSideMM = 2.5 }},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBench(t, 0.9)
			if c.feed {
				b.proven()
			}
			if c.alter != nil {
				c.alter(b)
			}
			_, _, err := b.run(ladder.Length(), c.inputs)
			var refused *routines.FieldError
			switch {
			case c.field == "" && err != nil:
				t.Error(err)
			case c.field != "" && (!errors.As(err, &refused) || refused.Field != c.field || refused.Accept == ""):
				t.Errorf("%v, want %s refused", err, c.field)
			}
		})
	}
}

// TestNeverPastTheCeiling: whatever is graded, no band is printed beyond it, and the finding says what to do.
func TestNeverPastTheCeiling(t *testing.T) {
	for _, c := range []struct {
		name, inputs string
		ceiling      float64
		damp         bool
		truthMM      float64
	}{{"needs more than there is", `{}`, 2, false, 3.4}, {"damp", `{}`, 2, true, 1}, {"lifted", `{"past_ceiling_mm":3}`, 3, false, 5}} {
		t.Run(c.name, func(t *testing.T) {
			b := newBench(t, c.truthMM).proven()
			b.damp = c.damp
			_, f, err := b.run(ladder.Length(), c.inputs)
			if err != nil || f.Kind == ladder.Found || len(f.Notes) == 0 {
				t.Fatalf("%+v, %v", f, err)
			}
			for _, r := range b.records {
				var p struct{ Values []float64 }
				if r.Kind == "piece" && json.Unmarshal(r.Body, &p) == nil {
					for _, v := range p.Values {
						if v > c.ceiling {
							t.Errorf("a band of %g mm", v)
						}
					}
				}
			}
			t.Logf("%s: %s", f.Kind, f.Reason)
		})
	}
}

// TestTravel: what is enough follows from the machine's own acceleration; the piece shows whether it holds.
func TestTravel(t *testing.T) {
	b := newBench(t, 0.2).proven()
	begin, f, err := b.run(ladder.Travel(), `{"longest_travel_mm":24}`)
	if err != nil || f.Kind != ladder.Found {
		t.Fatalf("%+v, %v", f, err)
	}
	// t(v) = g/v + v/a at a = 1200 mm/s2 and g = 24 mm, against the shortest, 2·sqrt(g/a) = 0.2828 s: 125 mm/s takes
	// 0.296 s, 4.8 % more; 150 mm/s takes 0.285 s, 0.8 % more. By hand, kinematics.
	if got := value(f, "travel_speed_mm_per_s"); got != 150 {
		t.Errorf("%g mm/s", got)
	}
	replay.EveryPrefix(t, ladder.Travel(), begin, b.facts, f)

	for _, shiftsAt := range []float64{45, 65, 85, 105, 130, 150} {
		b := newBench(t, 0.2).proven()
		b.shiftsAt = shiftsAt
		_, f, err := b.run(ladder.Travel(), `{"longest_travel_mm":24}`)
		if got := value(f, "travel_speed_mm_per_s"); err != nil || got >= shiftsAt || got != b.fastestJudged() {
			t.Errorf("layers shift from %g mm/s on, and bands up to %g were judged: %+v, %v", shiftsAt, b.fastestJudged(), f, err)
		}
	}
}

// fastestJudged is the fastest speed of a band that the person judged, by the records.
func (b *bench) fastestJudged() float64 {
	fastest := 0.0
	for _, r := range b.records {
		var g struct {
			Bands []struct {
				Value float64
				Grade *int
			}
		}
		if r.Kind == "grades" && json.Unmarshal(r.Body, &g) == nil {
			for _, band := range g.Bands {
				if band.Grade != nil {
					fastest = math.Max(fastest, band.Value)
				}
			}
		}
	}
	return fastest
}

// TestTravelCutOff: a piece that was cut off before the speed that is enough says nothing of it, and another is printed.
func TestTravelCutOff(t *testing.T) {
	b := newBench(t, 0.2).proven()
	b.breaks = "piece 1 band D"
	if _, _, err := b.run(ladder.Travel(), `{"longest_travel_mm":24}`); err == nil {
		t.Fatal("it went on without a cable")
	}
	b.breaks = ""
	_, f, err := b.run(ladder.Travel(), `{"longest_travel_mm":24}`)
	if err != nil || value(f, "travel_speed_mm_per_s") != 150 || strings.Contains(f.Reason, "worse") {
		t.Errorf("%+v, %v", f, err)
	}
}

// TestAgain: a ladder that ended without a value begins anew the next time.
func TestAgain(t *testing.T) {
	b := newBench(t, 1).proven()
	b.damp = true
	if _, f, err := b.run(ladder.Length(), `{}`); err != nil || f.Kind == ladder.Found {
		t.Fatalf("%+v, %v", f, err)
	}
	b.damp, b.questions = false, nil
	_, f, err := b.run(ladder.Length(), `{"nozzle_c":205}`)
	if err != nil || f.Kind != ladder.Found || b.questions[0].Name != "piece 1" {
		t.Errorf("%+v, %v, first asked %q", f, err, b.questions[0].Name)
	}
}

// TestStrokeOfAnotherDrive: a length that a tube needed is not held on the direct drive that took its place.
func TestStrokeOfAnotherDrive(t *testing.T) {
	b := newBench(t, 0.2).proven()
	v := 6.0
	b.record("r0", b.material.ID, routines.Entry{Kind: "retraction_length_mm", Value: &v, Unit: "mm"})
	if _, _, err := b.run(ladder.Travel(), `{}`); err != nil {
		t.Fatal(err)
	}
	for _, s := range b.bands {
		if s.strokeMM > 2 {
			t.Fatalf("a stroke of %g mm on a direct drive", s.strokeMM)
		}
	}
}

// TestPostsAreAlike: the piece that confirms has the posts of those before, whatever its one length.
func TestPostsAreAlike(t *testing.T) {
	b := newBench(t, 4.3).proven()
	onTube(b)
	if _, _, err := b.run(ladder.Length(), `{}`); err != nil {
		t.Fatal(err)
	}
	for i := 8; i < len(b.bandLines); i++ {
		if b.bandLines[i] != b.bandLines[i-8] {
			t.Errorf("band %c has %d lines where it had %d", 'A'+i%8, b.bandLines[i], b.bandLines[i-8])
		}
	}
	if len(b.bandLines) < 16 {
		t.Error("only one piece was printed")
	}
}

// TestValuesAreHidden: nothing that a person is asked says what a band was printed with, and the bands do not climb from A to
// H, so that nobody grades what they expect.
func TestValuesAreHidden(t *testing.T) {
	b := newBench(t, 1.1).proven()
	b.says["piece 2"] = `{"next":"later"}`
	if _, _, err := b.run(ladder.Length(), `{}`); err != nil {
		t.Fatal(err)
	}
	var strokes []float64
	for _, s := range b.bands {
		strokes = append(strokes, s.strokeMM)
	}
	if len(strokes) != 8 || slices.IsSorted(strokes) {
		t.Errorf("the bands were printed with %v", strokes)
	}
	for _, q := range b.questions {
		raw, err := json.Marshal(q)
		if err != nil || strings.Contains(string(raw), `"values"`) {
			t.Errorf("%s: %s, %v", q.Name, raw, err)
		}
	}
}
