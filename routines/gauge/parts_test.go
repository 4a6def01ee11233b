package gauge_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fettle/routines/gauge"
)

// Plain geometry: 200·16/(π·11 mm) = 92.60, 200·16·3/(π·7.5 mm) = 407.44.
func TestExpectedStepsFromTheParts(t *testing.T) {
	near(t, "one to one, 11 mm", gauge.ExpectedStepsPerMM(200, 16, 1, 11), 92.60, 0.005)
	near(t, "three to one, 7.5 mm", gauge.ExpectedStepsPerMM(200, 16, 3, 7.5), 407.44, 0.005)
	for _, bad := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if got := gauge.ExpectedStepsPerMM(200, 16, bad, 11); got != 0 {
			t.Errorf("a ratio of %g gave %g steps/mm", bad, got)
		}
	}
}

func TestNearFactorNamesTheSetting(t *testing.T) {
	for _, c := range []struct {
		measured, expected float64
		ratios             []float64
		factor             float64
		what               string
	}{
		{47.1, 93, nil, 0.5, "factor of 2"},
		{186, 92.6, nil, 2, "factor of 2"},
		{23.5, 93, nil, 0.25, "factor of 4"},
		{41.6, 100, nil, 0.4158, "1.75 mm"}, // 100 mm³ are 41.6 mm of 1.75 mm filament: plain geometry
		{15.7, 100, nil, 0.1568, "2.85 mm"}, // and 15.7 mm of 2.85
		{223.7, 93, nil, 2.4053, "1.75 mm"}, // the same seen in the steps/mm that would put it right
		{593, 93, nil, 6.3794, "2.85 mm"},   //
		{138, 407.44, []float64{3}, 0.3333, "gear ratio of 3"},
		{407, 138, []float64{3}, 3, "gear ratio of 3"},
		{2.39, 1, []float64{50.0 / 21}, 2.381, "gear ratio of 2.38"}, // nearer than volumetric extrusion's 2.405
	} {
		factor, what, isNear := gauge.NearFactor(c.measured, c.expected, c.ratios...)
		near(t, c.what, factor, c.factor, 5e-4)
		if !isNear || !strings.Contains(what, c.what) {
			t.Errorf("%g of %g is %q (%v), want %q", c.measured, c.expected, what, isNear, c.what)
		}
	}
}

func TestNearFactorLeavesCalibrationsAlone(t *testing.T) {
	for _, quotient := range []float64{1, 0.85, 1.15, 1.04, 0.96, 1.51, 0.7, 3} {
		factor, what, isNear := gauge.NearFactor(93*quotient, 93, 1, 1.05)
		near(t, "the quotient itself", factor, quotient, 1e-12)
		if isNear || what != "" {
			t.Errorf("%g was taken for %q", quotient, what)
		}
	}
	for _, bad := range [][2]float64{{0, 1}, {1, 0}, {-1, 1}, {math.NaN(), 1}, {1, math.Inf(1)}} {
		if factor, _, isNear := gauge.NearFactor(bad[0], bad[1]); isNear || factor != 0 {
			t.Errorf("%v gave %g, near %v", bad, factor, isNear)
		}
	}
}

// Whichever of the two is wrong, the same setting is named, and the factor turns over.
func TestNearFactorBothWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(1, 1000).Draw(t, "a"), rapid.Float64Range(1, 1000).Draw(t, "b")
		there, what, _ := gauge.NearFactor(a, b, 3)
		back, same, _ := gauge.NearFactor(b, a, 3)
		if what != same || math.Abs(there*back-1) > 1e-9 {
			t.Fatalf("%g %q there, %g %q back", there, what, back, same)
		}
	})
}
