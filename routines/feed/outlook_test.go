package feed_test

import (
	"slices"
	"strings"
	"testing"
)

// leftovers lets the person read these, one a pass, and have enough after them.
func leftovers(b *bench, read ...string) {
	for i, mm := range read {
		n := string(rune('1' + i))
		b.says["leftover "+n], b.says["another "+n] = `{"leftover_mm":`+mm+`}`, `{"another":false}`
	}
}

// Passes of 96.5 and 110 mm have no mean worth a forecast.
func TestPassesThatDisagreeForecastNothing(t *testing.T) {
	for _, g := range []string{"mm_rule", "half_mm_rule", "caliper"} {
		b := newBench(t, 93, 1)
		leftovers(b, "23.5", "10")
		f := b.run(begin(t, direct(), `{"passes":2,"gauge":"`+g+`"}`))
		wantKind(t, f, "cannot_tell", "Cannot tell yet")
		wantNote(t, f, "The passes disagree by 13.5\u00a0mm: one was misread or slipped.")
		wantNote(t, f, "± is 12.71 times the standard uncertainty")
		if slices.ContainsFunc(f.Notes, func(n string) bool { return strings.Contains(n, "would") }) {
			t.Errorf("with a %s it forecasts: %q", g, f.Notes)
		}
	}
}

// Three passes of 84 mm and one of 90, by which a change is sure all the same: that they disagree is said before it is written.
func TestPassesThatDisagreeAreSaidWithAChange(t *testing.T) {
	b := newBench(t, 93, 1)
	leftovers(b, "36", "36", "30", "36")
	b.says["apply"] = `{"apply":"leave"}`
	f := b.run(begin(t, direct(), `{"passes":4,"gauge":"caliper"}`))
	wantKind(t, f, "change", "Change it to 108.77")
	wantNote(t, f, "The passes disagree by 6\u00a0mm")
	if warned := strings.Join(b.asked("apply").Warning, " "); !strings.Contains(warned, "disagree by 6") {
		t.Errorf("before writing it warns of %q", warned)
	}
}

// What the passes scatter is not gone with a finer gauge: by reading alone one pass with a caliper would decide here.
func TestScatterIsCarriedIntoTheForecast(t *testing.T) {
	b := newBench(t, 93, 1)
	leftovers(b, "20.0", "21.1")
	f := b.run(begin(t, direct(), `{"passes":2,"gauge":"mm_rule"}`))
	wantKind(t, f, "cannot_tell", "Cannot tell yet")
	if slices.ContainsFunc(f.Notes, func(n string) bool { return strings.Contains(n, "one pass with a") }) {
		t.Errorf("it forgets the scatter: %q", f.Notes)
	}
}
