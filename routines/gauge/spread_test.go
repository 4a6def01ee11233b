package gauge_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"fettle/routines/gauge"
)

func TestFewReadingsSpreadNothing(t *testing.T) {
	none, one := gauge.SpreadOf(nil), gauge.SpreadOf([]float64{1.75})
	if none.N != 0 || !math.IsInf(none.U95, 1) {
		t.Errorf("no readings: %+v", none)
	}
	if one.N != 1 || one.Mean != 1.75 || one.SD != 0 || one.Range != 0 || !math.IsInf(one.U95, 1) {
		t.Errorf("one reading: %+v", one)
	}
	same := gauge.SpreadOf([]float64{0.1, 0.1, 0.1})
	if same.Mean != 0.1 || same.SD != 0 || same.U95 != 0 || same.Lag1 != 0 {
		t.Errorf("three that agree: %+v", same)
	}
}

// Two readings: SD is their difference over √2, and t is 12.706 (JCGM 100:2008, table G.2): U95 is 6.353 differences.
func TestTwoReadingsByHand(t *testing.T) {
	s := gauge.SpreadOf([]float64{10, 12})
	near(t, "SD", s.SD, math.Sqrt2, 1e-12)
	near(t, "U95", s.U95, 12.7062, 1e-4)
	near(t, "lag 1", s.Lag1, -0.5, 1e-12)
}

// Readings that come from elsewhere on the scale spread alike: what is common to them costs no digits.
func TestSpreadDoesNotMindWhereItLies(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		values := rapid.SliceOfN(rapid.Map(rapid.IntRange(-1000, 1000), func(i int) float64 { return float64(i) / 1024 }), 2, 20).Draw(rt, "values")
		far := make([]float64, len(values))
		for i, v := range values {
			far[i] = v + 1<<30
		}
		here, there := gauge.SpreadOf(values), gauge.SpreadOf(far)
		near(t, "SD", there.SD, here.SD, 1e-12)
		near(t, "U95", there.U95, here.U95, 1e-11)
		near(t, "lag 1", there.Lag1, here.Lag1, 1e-9)
		near(t, "mean", there.Mean-1<<30, here.Mean, 1e-6)
		if here.Low > here.Mean+1e-12 || here.Mean > here.High+1e-12 || here.Range != here.High-here.Low {
			rt.Errorf("%v spread as %+v", values, here)
		}
	})
}
