package feed_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// JCGM 100:2008, 7.2.6: no more than two significant digits of an uncertainty, and the value to the same last digit.
func TestValueIsSaidAsFinelyAsItsUncertainty(t *testing.T) {
	for _, tt := range []struct {
		name, inputs, says string
		truth, scatterMM   float64
	}{
		{"coarse", `{"gauge":"mm_rule"}`, "99.5 ±\u00a01.1\u00a0mm of 100\u00a0mm", 0.995, 0},
		{"fine, with a nought", `{"gauge":"caliper"}`, "95.00 ±\u00a00.45\u00a0mm of 100\u00a0mm", 0.95, 0},
		{"very coarse", `{"gauge":"caliper","passes":2}`, "103 ±\u00a086\u00a0mm of 100\u00a0mm", 1.0325, 6.75},
	} {
		t.Run(tt.name, func(t *testing.T) {
			b := newBench(t, 93, tt.truth)
			b.readMM = func(pass int) float64 { return tt.scatterMM * float64(1-2*(pass%2)) }
			b.says["another 1"], b.says["another 2"] = `{"another":false}`, `{"another":false}`
			if f := b.run(begin(t, direct(), tt.inputs)); !strings.HasPrefix(f.Reason, tt.says) {
				t.Errorf("it says %q, want %q", f.Reason, tt.says)
			}
		})
	}
}

func TestNumberAndUncertaintyHaveTheSameDecimals(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := newBench(t, 93, rapid.Float64Range(0.97, 1.03).Draw(rt, "truth"))
		apart := rapid.Float64Range(0, 3).Draw(rt, "apart, mm")
		b.readMM = func(pass int) float64 { return apart * float64(pass) }
		b.says["another 2"] = `{"another":false}`
		said := strings.Fields(strings.ReplaceAll(b.run(begin(t, direct(), `{"gauge":"caliper","passes":2}`)).Reason, "\u00a0", " "))
		if len(said) < 3 || said[1] != "±" || decimalsOf(said[0]) != decimalsOf(said[2]) {
			rt.Fatalf("it says %q", said)
		}
	})
}

func decimalsOf(number string) int {
	_, after, _ := strings.Cut(number, ".")
	return len(after)
}
