package docket_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"fettle/routines"
	"fettle/routines/docket"
)

// foundWith is a value that a run found, with what it wrote down beside it.
func (b *book) foundWith(kind string, value float64, run, body string) {
	b.found(kind, value, 0.1, "mm", run)
	b.entries[len(b.entries)-1].Body = json.RawMessage(body)
}

// A value that was found at the data sheet's temperature is stale once the record of the material says another: the run
// wrote down what it held. So are the strokes that it found along with it; and it is fresh again when the record is put back.
func TestAnEditedMaterialMakesStaleWhatWasFoundByItsSheet(t *testing.T) {
	b := newBook()
	b.plum.NozzleC = 205
	b.foundWith(docket.RetractionLength, 0.8, "r1", `{"held":{"nozzle_c":205,"fan_percent":100}}`)
	b.found(docket.FanPercent, 100, 0, "%", "r1")
	b.found(docket.RetractSpeed, 35, 0, "mm/s", "r1")
	b.foundWith(docket.FlowLimit, 9, "r2", `{"finding":"found","nozzle_c":205,"fan_percent":3}`)
	if got := staleKinds(b.docket()); len(got) > 0 {
		t.Fatalf("stale before anything changed: %v", got)
	}
	b.plum.NozzleC = 215
	d := b.docket()
	if got := fmt.Sprint(staleKinds(d)); got != "[retraction_length_mm retract_speed_mm_per_s flow_limit_mm3_per_s]" {
		t.Errorf("stale: %s", got)
	}
	if r := d.Row(docket.RetractionLength); r.Fresh || r.Stale[0].Text != "Nozzle temperature was 205 °C when it was found, and is 215 °C" || d.Due[2].Do != docket.DoLength {
		t.Errorf("%+v %+v", r, d.Due)
	}
	b.plum.NozzleC = 205
	if got := staleKinds(b.docket()); len(got) > 0 {
		t.Errorf("stale: %v", got)
	}
	b.typed(docket.FanPercent, 50)
	if got := fmt.Sprint(staleKinds(b.docket())); got != "[retraction_length_mm retract_speed_mm_per_s]" {
		t.Errorf("with another fan: %s", got)
	}
}

// Filament of another size has another diameter, whatever was measured: by the change that a new setup makes, and by the
// number alone where no change was recorded or it was typed since.
func TestADiameterOfAnotherSizeIsNeverFresh(t *testing.T) {
	for _, recorded := range []bool{true, false} {
		b := tuned()
		before := b.setup
		b.setup.FilamentDiameterMM = 2.85
		if recorded {
			for _, what := range docket.Implied(before, b.setup) {
				b.changed(what, "")
			}
		}
		r := b.docket().Row(docket.FilamentDiameter)
		if r.Fresh || r.Again != "filament_diameter" || len(r.Stale) != 1 || r.Stale[0].What != "filament_size" || (r.Stale[0].Entry != 0) != recorded {
			t.Errorf("recorded %t: %+v", recorded, r)
		}
		b.typed(docket.FilamentDiameter, 1.74)
		if r := b.docket().Row(docket.FilamentDiameter); r.Fresh || r.Stale[0].Text != "it is 1.74 mm, and the setup says 2.85 mm" {
			t.Errorf("recorded %t, typed: %+v", recorded, r)
		}
		b.typed(docket.FilamentDiameter, 2.83)
		if r := b.docket().Row(docket.FilamentDiameter); !r.Fresh {
			t.Errorf("recorded %t, typed: %+v", recorded, r)
		}
	}
}

// checked is a feed check; steps is what the printer said of its steps/mm, 0 where it said nothing.
func (b *book) checked(finding string, steps float64, run string) {
	body := map[string]any{"finding": finding}
	if steps > 0 {
		body["measured_with_steps_per_mm"] = steps
	}
	b.add(docket.Entry{Material: b.plum.ID, Run: run, Entry: routines.Entry{Kind: "feed_check", Body: raw(body)}})
}

// A feed is proved by a check that leaves it as it is, whether the printer tells its steps/mm or not, or by steps/mm that
// were written after it; and by none of them any more once a change of the feed was recorded or a later check found it off.
func TestAFeedIsProved(t *testing.T) {
	for _, c := range []struct{ what, happened, want string }{
		{"nothing", "", "never checked"},
		{"the printer tells, and is right", "leave 93", ""},
		{"it tells nothing, and is right", "leave 0", ""},
		{"it tells nothing, and is off", "change 0", "found off"},
		{"it tells, is off, and nothing was set", "change 93", "found off"},
		{"it was right, and is off", "leave 93|change 93", "found off"},
		{"nobody can tell", "cannot_tell 93", "not proved yet"},
		{"nobody can tell any more", "leave 93|cannot_tell 93", ""},
		{"it is off, and was set", "change 93|set 94.5", ""},
		{"it is off, was not set, and then it was", "change 93|change 93|set 94.5", ""},
		{"it is off, was set by hand, and is right", "change 0|leave 0", ""},
		{"it was right, until a gear was changed", "leave 0|new_gear", "not proved yet"},
		{"it was right, until the size was changed", "leave 93|filament_size", "filament of another size"},
		{"it told once, and is right", "leave 93|new_gear|leave 0", ""},
		{"a nozzle is of no account", "leave 0|new_nozzle", ""},
	} {
		b := newBook()
		for i, word := range strings.FieldsFunc(c.happened, func(r rune) bool { return r == '|' }) {
			what, number := word, 0.0
			if n, _ := fmt.Sscanf(word, "%s %g", &what, &number); n == 2 && what == "set" {
				b.found(docket.StepsPerMM, number, 0.4, "steps/mm", fmt.Sprint("r", i))
			} else if n == 2 {
				b.checked(what, number, fmt.Sprint("r", i))
			} else {
				b.changed(what, "")
			}
		}
		d := b.docket()
		proved, why := docket.FeedProved(d)
		if proved != (c.want == "") || !strings.Contains(why, c.want) || proved != (why == "") {
			t.Errorf("%s: %t %q, want %q", c.what, proved, why, c.want)
		}
		if due := slices.ContainsFunc(d.Due, func(s docket.Step) bool { return s.Do == docket.DoFeed }); due == proved {
			t.Errorf("%s: %+v", c.what, d.Due)
		}
	}
}
