package feed_test

import (
	"slices"
	"strings"
	"testing"

	"fettle/routines"
)

func TestFilamentCameOut(t *testing.T) {
	b := newBench(t, 93, 1)
	b.says["leftover 1"] = `{"instead":"filament_came_out"}`
	f := b.run(begin(t, direct(), `{}`))
	wantKind(t, f, "failed", "Look at the printer first")
	if !strings.Contains(f.Reason, "backwards") || b.hot {
		t.Errorf("the reason is %q, hot %t", f.Reason, b.hot)
	}
	if _, open := b.entry("feed_pass"); open["instead"] != "filament_came_out" {
		t.Errorf("the pass rests on %v", open)
	}
}

func TestNothingWentIn(t *testing.T) {
	f := newBench(t, 93, 0.02).run(begin(t, direct(), `{}`))
	wantKind(t, f, "failed", "Look at the printer first")
}

func TestColdFeedIsNoMeasurement(t *testing.T) {
	b := newBench(t, 93, 1)
	b.refuses = true
	f := b.run(begin(t, direct(), `{}`))
	wantKind(t, f, "failed", "Look at the printer first")
	if len(b.marks) != 0 || b.hot {
		t.Errorf("%d marks were asked for, hot %t", len(b.marks), b.hot)
	}
}

// A printer that feeds twice the length swallows the marks at 120 and 180 mm; the one at 270 is read. 200 of 100 mm is
// a change by half, so a second pass must agree.
func TestTwiceTheLengthIsNamed(t *testing.T) {
	b := newBench(t, 800, 2)
	f := b.run(begin(t, direct(), `{"gauge":"mm_rule"}`))
	if want := []float64{120, 180, 270, 270, 120}; !slices.Equal(b.marks, want) {
		t.Errorf("marks at %v, want %v", b.marks, want)
	}
	wantKind(t, f, "change", "Change it to 400.00")
	wantNote(t, f, "twice the length")
}

func TestMarkThatAlwaysGoesInOnlyBounds(t *testing.T) {
	f := newBench(t, 800, 3.2).run(begin(t, direct(), `{"gauge":"mm_rule"}`))
	wantKind(t, f, "cannot_tell", "Cannot tell yet")
	near(t, "at least", value(t, f, "fed_at_least_mm").Value, 300, 1e-9)
	wantNote(t, f, "less commanded")
}

// With volumetric extrusion on, 100 is 100 mm³: 41.6 mm of 1.75 mm filament, 15.7 of 2.85 (plain geometry).
func TestNamedRatios(t *testing.T) {
	geared := direct()
	geared.Gear = &routines.Gear{StepsPerRev: 200, Microsteps: 16, Ratio: 3, EffectiveDiameterMM: 7.5}
	for _, tt := range []struct {
		name  string
		setup routines.Setup
		ratio float64
		says  string
	}{
		{"half", direct(), 0.5, "half the length"},
		{"a quarter", direct(), 0.25, "0.25 times the length (microsteps differ by a factor of 4)"},
		{"an eighth", direct(), 0.125, "0.125 times the length (microsteps differ by a factor of 8)"},
		{"volume of the other filament", direct(), 0.157, "lengths are taken as mm³ of 2.85 mm filament"},
		{"volume, 1.75", direct(), 0.416, "41.58\u00a0mm of 100"},
		{"volume, 2.85", bowden(), 0.157, "15.68\u00a0mm of 100"},
		{"gear left out", geared, 1.0 / 3, "gear ratio of the setup"},
		{"gear data disagree", geared, 0.9, "give 407.44 steps/mm"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			b := newBench(t, 93, tt.ratio)
			b.says["apply"] = `{"apply":"leave"}`
			wantNote(t, b.run(begin(t, tt.setup, `{"gauge":"caliper"}`)), tt.says)
		})
	}
}

func TestLargeChangeNeedsAPassThatAgrees(t *testing.T) {
	b := newBench(t, 93, 0.66)
	b.says["another 1"] = `{"another":false}`
	f := b.run(begin(t, direct(), `{"gauge":"caliper"}`))
	wantKind(t, f, "cannot_tell", "Cannot tell yet")
	wantNote(t, f, "second pass that agrees")

	b = newBench(t, 93, 0.66)
	b.readMM = func(pass int) float64 { return 4 * float64(pass) }
	b.says["another 2"] = `{"another":false}`
	wantKind(t, b.run(begin(t, direct(), `{"gauge":"caliper"}`)), "cannot_tell", "Cannot tell yet")

	f = newBench(t, 93, 0.66).run(begin(t, direct(), `{"gauge":"caliper"}`))
	wantKind(t, f, "change", "Change it to 140.91")
}

func TestDampStrandIsNoted(t *testing.T) {
	b := newBench(t, 93, 1)
	b.says["strand 1"] = `{"strand":"popping"}`
	wantNote(t, b.run(begin(t, direct(), `{"gauge":"caliper"}`)), "damp")
}

func TestMarkWhereThePersonReallySetIt(t *testing.T) {
	b := newBench(t, 93, 0.984)
	b.says["mark 1"] = `{"mark_mm":131.5}`
	f := b.run(begin(t, direct(), `{"gauge":"caliper","verify":false}`))
	near(t, "fed", value(t, f, "fed_mm").Value, 98.4, 1e-6)
	left := b.questions[slices.IndexFunc(b.questions, func(q routines.Question) bool { return q.Name == "leftover 1" })]
	if left.Derived.A != 131.5 || *left.Fields[0].Max != 131.5 {
		t.Errorf("the leftover is measured against %g, at most %g", left.Derived.A, *left.Fields[0].Max)
	}
}
