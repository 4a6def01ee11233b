package spool_test

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fettle/routines"
	"fettle/routines/gauge"
	"fettle/routines/spool"
)

// even is a spool as it should be: 1.747 mm.
var even = []float64{1.74, 1.76, 1.75, 1.76, 1.74, 1.75, 1.73, 1.75, 1.74, 1.75} // does not change

func TestASpoolIsFoundForWhatItIs(t *testing.T) {
	for _, c := range []struct {
		name      string
		fittedMM  float64
		readMM    []float64
		kind      string
		entry     string
		headline  string
		notesHave string
	}{
		{"even", 1.75, even, spool.Found, "filament_diameter_mm", "The filament is 1.747", "cannot be told from"},
		{"thin", 1.75, []float64{1.69, 1.70, 1.70, 1.70}, spool.Found, "filament_diameter_mm", "The filament is 1.697\u00a0mm", "less plastic"},
		{"thick places", 1.75, []float64{1.68, 1.69, 1.75, 1.74, 1.82, 1.82}, spool.Uneven, "filament_diameter_mm", "This spool is uneven", "recorded all the same"},
		{"oval", 1.75, []float64{1.66, 1.84, 1.85, 1.67, 1.67, 1.84}, spool.Uneven, "filament_diameter_mm", "This spool is uneven", "recorded all the same"},
		{"of the other size", 1.75, []float64{2.84, 2.86, 2.85, 2.85}, spool.WrongSize, "filament_wrong_size", "This is filament of 2.85\u00a0mm", "not recorded"},
		{"the other way round", 2.85, []float64{1.74, 1.76, 1.75, 1.75}, spool.WrongSize, "filament_wrong_size", "This is filament of 1.75\u00a0mm", "not recorded"},
		{"of no size", 1.75, []float64{1.40, 1.41, 1.40, 1.40}, spool.WrongSize, "filament_wrong_size", "This is no filament of 1.75\u00a0mm", "zero when it is closed"},
		{"thick, 2.85", 2.85, []float64{2.88, 2.9, 2.9, 2.9}, spool.Found, "filament_diameter_mm", "The filament is 2.895\u00a0mm", "more plastic"},
	} {
		b := readings(c.readMM...)
		o := begin(t, fitted(c.fittedMM), `{"readings":4}`)
		o.Inputs = json.RawMessage(strings.Replace(string(o.Inputs), `"readings":4`, `"readings":`+string(mustJSON(len(c.readMM))), 1))
		f := b.run(t, o)
		e, said := b.entry(t)
		if f.Kind != c.kind || e.Kind != c.entry || !strings.HasPrefix(f.Headline, c.headline) || !strings.Contains(strings.Join(f.Notes, " "), c.notesHave) {
			t.Errorf("%s: %s, entry %s: %s %s %q", c.name, f.Kind, e.Kind, f.Headline, f.Reason, f.Notes)
		}
		if said.Finding != c.kind || !reflect.DeepEqual(said.ReadMM, c.readMM) || *e.Value != value(t, f, "filament_diameter_mm").Value || (e.Standing == spool.Uneven) != (c.kind == spool.Uneven) {
			t.Errorf("%s: the entry: %+v %s", c.name, e, e.Body)
		}
		t.Logf("%s: %s. %s %q", c.name, f.Headline, f.Reason, f.Notes)
	}
}

func mustJSON(v any) []byte {
	raw, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return raw
}

// The numbers of a finding by hand: five places of 1.75, 1.755, 1.745, 1.74, 1.745 mm; π·d²/4 and its slope.
func TestValuesByHand(t *testing.T) {
	f := readings(even...).run(t, begin(t, fitted(1.75), `{}`))
	d := value(t, f, "filament_diameter_mm")
	for what, got := range map[string][2]float64{
		"mean":          {d.Value, 1.747},
		"spread":        {value(t, f, "spread_mm").Value, 0.015},
		"section":       {value(t, f, "section_mm2").Value, math.Pi / 4 * 1.747 * 1.747},
		"section's U95": {*value(t, f, "section_mm2").U95, math.Pi / 4 * (math.Pow(1.747+*d.U95/2, 2) - math.Pow(1.747-*d.U95/2, 2))},
	} {
		if math.Abs(got[0]-got[1]) > 2e-6 {
			t.Errorf("%s: %.7f, want %.7f", what, got[0], got[1])
		}
	}
	if len(f.Budget) != 3 || !f.Budget[1].Common || f.Budget[2].Type != "A" {
		t.Errorf("budget: %+v", f.Budget)
	}
}

// Whatever a person reads: the mean lies within what was read, its uncertainty is never below what the instrument may be
// off, every reading is kept, and which of the two at a place came first does not matter.
func TestPropertiesOfADiameter(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		fittedMM := rapid.SampledFrom([]float64{1.75, 2.85, 3}).Draw(rt, "fitted")
		name := rapid.SampledFrom([]string{"vernier_caliper", "caliper", "digital_caliper"}).Draw(rt, "gauge")
		places := rapid.IntRange(2, 10).Draw(rt, "places")
		one := rapid.Float64Range(0.5, 1.8)
		readMM := make([]float64, 2*places)
		for i := range readMM {
			readMM[i] = math.Max(0.5*fittedMM, math.Min(1.8*fittedMM, math.Round(100*fittedMM*one.Draw(rt, "part"))/100))
		}
		inputs := string(mustJSON(map[string]any{"gauge": name, "readings": len(readMM)}))
		b := atItsPlace(readMM)
		f := b.run(t, begin(t, fitted(fittedMM), inputs))
		d, g := value(t, f, "filament_diameter_mm"), must(gauge.Named(name))
		low, high := readMM[0], readMM[0]
		for _, mm := range readMM {
			low, high = math.Min(low, mm), math.Max(high, mm)
		}
		if _, said := b.entry(t); d.Value < low-1e-6 || d.Value > high+1e-6 || *d.U95 < g.LimitMM(d.Value) || !reflect.DeepEqual(said.ReadMM, readMM) {
			rt.Fatalf("%v ± %v of %v, kept %v", d.Value, *d.U95, readMM, said.ReadMM)
		}
		swapped := append([]float64{}, readMM...)
		for i := 0; i < len(swapped); i += 2 {
			if rapid.Bool().Draw(rt, "swap") {
				swapped[i], swapped[i+1] = swapped[i+1], swapped[i]
			}
		}
		other := atItsPlace(swapped).run(t, begin(t, fitted(fittedMM), inputs))
		if !reflect.DeepEqual(other.Values, f.Values) || other.Kind != f.Kind {
			rt.Fatalf("swapped: %+v, not %+v", other, f)
		}
	})
}

// atItsPlace reads the same again where it is asked again.
func atItsPlace(mm []float64) *bench {
	b := &bench{}
	b.read = func(q routines.Question) float64 { return mm[seen(q).Reading-1] }
	return b
}

func must(g gauge.Instrument, _ bool) gauge.Instrument { return g }

func TestInputsAreHeldToTheirLimits(t *testing.T) {
	for inputs, field := range map[string]string{
		`{"readings":5}`: "readings", `{"readings":2}`: "readings", `{"readings":4.5}`: "readings", `{"readings":22}`: "readings", `{"gauge":"mm_rule"}`: "gauge",
		`{"gauge":"own"}`: "own_division_mm", `{"gauge":"own","own_division_mm":0.01}`: "own_limit_mm", `{"own_division_mm":0.01}`: "own_division_mm",
		`{"own_limit_mm":0.01}`: "own_limit_mm", `{"gauge":"own","own_division_mm":0.5,"own_limit_mm":0.1}`: "own_division_mm",
		`{"spool":"` + strings.Repeat("x", 201) + `"}`: "spool",
	} {
		var wrong *routines.FieldError
		if _, err := order(fitted(1.75), inputs); !errors.As(err, &wrong) || wrong.Field != field || wrong.Accept == "" {
			t.Errorf("%s: %v, want %s refused", inputs, err, field)
		}
	}
	var wrong *routines.FieldError
	if _, err := order(fitted(0), `{}`); !errors.As(err, &wrong) || wrong.Field != "filament_diameter_mm" {
		t.Error(err)
	}
}

// A gauge of one's own is as good as its owner says, and the spool's own words stay with the entry.
func TestAGaugeOfOnesOwn(t *testing.T) {
	b := readings(1.751, 1.750, 1.752, 1.751)
	f := b.run(t, begin(t, fitted(1.75), `{"gauge":"own","own_division_mm":0.001,"own_limit_mm":0.004,"readings":4,"spool":"third from the left, opened in May"}`))
	e, said := b.entry(t)
	if u := *value(t, f, "filament_diameter_mm").U95; u < 0.004 || u > 0.01 || said.Spool != "third from the left, opened in May" || !strings.Contains(string(e.Body), `"limit_mm":0.004`) {
		t.Errorf("± %g, %s", u, e.Body)
	}
}

// Nothing between two lengths beyond what no filament is: the answer is refused with words.
func TestWhatIsNoFilamentIsRefused(t *testing.T) {
	for _, mm := range []float64{0.0689, 17.5, -1.75} { // an inch reading among them
		r := routines.NewRun(context.Background(), begin(t, fitted(1.75), `{}`), nil, readings(mm))
		var wrong *routines.FieldError
		if _, err := spool.Diameter().Do(r); !errors.As(err, &wrong) || !strings.Contains(wrong.Detail, "millimetres") {
			t.Errorf("%g: %v", mm, err)
		}
	}
}
