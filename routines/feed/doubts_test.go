package feed_test

import (
	"slices"
	"strings"
	"testing"

	"fettle/routines"
)

// asked is the first question of that name.
func (b *bench) asked(name string) routines.Question {
	b.t.Helper()
	i := slices.IndexFunc(b.questions, func(q routines.Question) bool { return q.Name == name })
	if i < 0 {
		b.t.Fatalf("%q was never asked", name)
	}
	return b.questions[i]
}

// Whatever speaks against a value is said where it may still be left, and not only once it is written.
func TestDoubtsAreSaidBeforeWriting(t *testing.T) {
	geared := direct()
	geared.Gear = &routines.Gear{StepsPerRev: 200, Microsteps: 16, Ratio: 3, EffectiveDiameterMM: 7.5}
	for _, tt := range []struct {
		name     string
		truth    float64
		setup    routines.Setup
		flexible bool
		strand   string
		says     string
	}{
		{"half the length", 0.5, direct(), false, "smooth", "half the length"},
		{"slip", 0.95, direct(), false, "smooth", "Slip looks the same"},
		{"gear data", 0.9, geared, false, "smooth", "give 407.44 steps/mm"},
		{"soft", 0.95, direct(), true, "smooth", "Soft filament"},
		{"damp", 1.05, direct(), false, "popping", "damp"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			b := newBench(t, 93, tt.truth)
			b.says["strand 1"] = `{"strand":"` + tt.strand + `"}`
			order := begin(t, tt.setup, `{"gauge":"caliper","verify":false}`)
			order.Material.Flexible = tt.flexible
			f := b.run(order)
			if warned := strings.Join(b.asked("apply").Warning, "\n"); !strings.Contains(warned, tt.says) {
				t.Errorf("before writing it warns of %q, want %q in it", warned, tt.says)
			}
			wantNote(t, f, tt.says)
		})
	}
}

// A mark of 120 mm with 70 mm left twice: the new value would be double, and is offered with the warning.
func TestTwoLeftoversOfSeventyAreNotOfferedWithoutAWord(t *testing.T) {
	b := newBench(t, 93, 1)
	b.says["leftover 1"], b.says["leftover 2"] = `{"leftover_mm":70}`, `{"leftover_mm":70}`
	b.says["apply"] = `{"apply":"leave"}`
	b.run(begin(t, direct(), `{}`))
	q := b.asked("apply")
	if q.Text != "Change it to 186.00?" || len(q.Warning) == 0 || !strings.Contains(q.Warning[0], "microstep") {
		t.Errorf("%q warns of %q", q.Text, q.Warning)
	}
}

func TestNothingIsSaidAgainstAPlainValue(t *testing.T) {
	b := newBench(t, 93, 1.05)
	b.run(begin(t, direct(), `{"gauge":"caliper","verify":false}`))
	if w := b.asked("apply").Warning; len(w) > 0 {
		t.Errorf("it warns of %q", w)
	}
}
