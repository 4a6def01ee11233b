package gauge_test

import (
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fettle/routines/gauge"
)

// JCGM 100:2008, 7.2.6: two significant digits of an uncertainty suffice, and the estimate is rounded to agree with it. Its own
// example is 10.057 62 ohm with 27 milliohm, said as 10.058.
func TestDecimalsShowTwoDigits(t *testing.T) {
	for u, want := range map[float64]int{0.027: 3, 0.45: 2, 0.0995: 2, 0.0994: 3, 0.996: 1, 1.1: 1, 9.96: 0, 86: 0, 4000: 0, 0: 4} {
		if got := gauge.Decimals(u); got != want {
			t.Errorf("%g: %d decimals, want %d", u, got, want)
		}
	}
	if said := strconv.FormatFloat(10.05762, 'f', gauge.Decimals(0.027), 64); said != "10.058" {
		t.Error(said)
	}
}

func TestNoUncertaintyIsSaidWithThreeDigits(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		u := rapid.Float64Range(0.001, 9.9).Draw(rt, "u")
		said := strings.TrimLeft(strings.ReplaceAll(strconv.FormatFloat(u, 'f', gauge.Decimals(u), 64), ".", ""), "0")
		if len(said) != 2 {
			rt.Errorf("%g is said with %d digits: %s", u, len(said), said)
		}
	})
}
