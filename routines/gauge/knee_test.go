package gauge_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"fettle/routines/gauge"
)

// fedAt are fractions at 1, 2, 3 ... mm/s.
func fedAt(sd float64, fractions ...float64) []gauge.Fed {
	var points []gauge.Fed
	for i, f := range fractions {
		points = append(points, gauge.Fed{SpeedMMPerS: float64(i + 1), Fraction: f, SD: sd})
	}
	return points
}

// Worked out by hand: flat at 1 up to 6 mm/s, then 1 % for each mm/s. Two per cent are lost at 8.
func TestKneeByHand(t *testing.T) {
	k := gauge.KneeOf(fedAt(0.001, 1, 1, 1, 1, 1, 1, 0.99, 0.98, 0.97, 0.96), 0.02)
	near(t, "limit", k.LimitMMPerS, 8, 0.15)
	if !k.Found || !k.Grows || k.Open || k.LowMMPerS > 8 || k.HighMMPerS < 8 || k.HighMMPerS-k.LowMMPerS > 0.8 {
		t.Errorf("%+v", k)
	}
	near(t, "short at low speed", k.LowSpeedShort, 0, 0.001)
}

// A feed that is 5 % short at any speed wants its steps/mm set; it has no limit there, and the level moves none.
func TestShortAtLowSpeedIsToldApart(t *testing.T) {
	flat := gauge.KneeOf(fedAt(0.003, 0.951, 0.949, 0.95, 0.952, 0.948, 0.95, 0.951, 0.949), 0.02)
	near(t, "short", flat.LowSpeedShort, 0.05, 0.001)
	if flat.Found || flat.Grows || flat.LimitMMPerS != 0 || flat.LowSpeedU95 > 0.01 || flat.Why == "" {
		t.Errorf("flat: %+v", flat)
	}
	if flat.LowMMPerS < 7 || flat.HighMMPerS != 0 || !flat.Open {
		t.Errorf("flat up to 8 mm/s: the limit is at least %g", flat.LowMMPerS)
	}
	fractions := []float64{1, 1.001, 0.999, 1, 0.996, 0.985, 0.96, 0.93}
	whole := gauge.KneeOf(fedAt(0.003, fractions...), 0.02)
	for i := range fractions {
		fractions[i] *= 0.95
	}
	both := gauge.KneeOf(fedAt(0.003*0.95, fractions...), 0.02)
	near(t, "both: short", both.LowSpeedShort, 0.05, 0.003)
	near(t, "both: the same limit", both.LimitMMPerS, whole.LimitMMPerS, 1e-9)
	if !both.Found || !both.Grows || both.LowSpeedShort < both.LowSpeedU95 || whole.LowSpeedShort > whole.LowSpeedU95 {
		t.Errorf("both: %+v\nwhole: %+v", both, whole)
	}
}

func TestKneeThatWasNotReached(t *testing.T) {
	k := gauge.KneeOf(fedAt(0.001, 1, 1, 1, 0.999, 0.998, 0.996, 0.994, 0.991), 0.02)
	if k.Found || !k.Grows || k.Why == "" || k.LowMMPerS < 8 || k.LimitMMPerS != 0 {
		t.Errorf("falls by 0.9 %% up to 8 mm/s: %+v", k)
	}
	k = gauge.KneeOf(fedAt(0.001, 1, 0.955, 0.93, 0.92, 0.92), 0.02)
	if !k.Grows || k.LowMMPerS > 1.5 || !k.Open && k.HighMMPerS < 1.5 {
		t.Errorf("falls at once and then less: %+v", k)
	}
}

// A climb that began too fast has no level to fall from: it may say where the limit is at most, and never that it found
// it. The true limits are below, at, and just above the lowest speed, 1 mm/s.
func TestAClimbThatBeganTooFast(t *testing.T) {
	for _, limit := range []float64{0.5, 0.8, 1, 1.2} {
		for _, power := range []float64{2, 4} {
			var fractions []float64
			for v := 1.0; v < 8; v++ {
				fractions = append(fractions, math.Max(0, 1-0.02*math.Pow(v/limit, power)))
			}
			k := gauge.KneeOf(fedAt(0.004, fractions...), 0.02)
			if k.Found || !k.Grows || limit < k.LowMMPerS || !k.Open && limit > k.HighMMPerS || k.LowSpeedU95 != 0 {
				t.Errorf("limit %g, power %g: %+v", limit, power, k)
			}
		}
	}
}

// Once a gear grinds it is chance how much is lost: that must not move the limit.
func TestGrindingCountsOnlyAsLost(t *testing.T) {
	some := gauge.KneeOf(fedAt(0.003, 1, 1.002, 0.998, 1, 0.999, 0.99, 0.75), 0.02)
	all := gauge.KneeOf(fedAt(0.003, 1, 1.002, 0.998, 1, 0.999, 0.99, -0.002), 0.02)
	if !some.Found || some != all {
		t.Errorf("a quarter lost: %+v\nall lost: %+v", some, all)
	}
}

func TestKneeNeedsPoints(t *testing.T) {
	good := fedAt(0.003, 1, 1, 0.99, 0.95, 0.9)
	with := func(i int, f gauge.Fed) []gauge.Fed {
		out := slices.Clone(good)
		out[i] = f
		return out
	}
	for what, points := range map[string][]gauge.Fed{
		"none":                nil,
		"three speeds":        good[:3],
		"the same speed":      {good[0], good[0], good[1], good[1], good[2]},
		"four without SD":     fedAt(0, 1, 1, 0.99, 0.9),
		"SD of some":          with(2, gauge.Fed{SpeedMMPerS: 3, Fraction: 1}),
		"SD below 0":          with(2, gauge.Fed{SpeedMMPerS: 3, Fraction: 1, SD: -1}),
		"standing still":      with(0, gauge.Fed{SpeedMMPerS: 0, Fraction: 1, SD: 0.003}),
		"not a number":        with(1, gauge.Fed{SpeedMMPerS: 2, Fraction: math.NaN(), SD: 0.003}),
		"at an endless speed": with(4, gauge.Fed{SpeedMMPerS: math.Inf(1), Fraction: 1, SD: 0.003}),
	} {
		if k := gauge.KneeOf(points, 0.02); k.Found || k.Why == "" || k.Grows || !k.Open {
			t.Errorf("%s: %+v", what, k)
		}
	}
	for _, tolerance := range []float64{0, -0.02, 1, math.NaN()} {
		if k := gauge.KneeOf(good, tolerance); k.Found || k.Why == "" {
			t.Errorf("tolerance %g: %+v", tolerance, k)
		}
	}
}

// The order of the points and the unit of the speeds change nothing; what comes out are numbers, and the interval holds
// the limit.
func TestKneeOfAnyPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		fractions := rapid.SliceOfN(rapid.Float64Range(0, 1.2), 5, 9).Draw(t, "fractions")
		sd := rapid.SampledFrom([]float64{0, 0.003, 0.05}).Draw(t, "sd")
		points := fedAt(sd, fractions...)
		k := gauge.KneeOf(points, 0.02)
		for _, v := range []float64{k.LimitMMPerS, k.LowMMPerS, k.HighMMPerS, k.LowSpeedShort, k.LowSpeedU95} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%+v", k)
			}
		}
		if k.Found && (k.LowMMPerS > k.LimitMMPerS || !k.Open && k.HighMMPerS < k.LimitMMPerS) {
			t.Fatalf("the limit lies outside its interval: %+v", k)
		}
		slices.Reverse(points)
		if back := gauge.KneeOf(points, 0.02); math.Abs(back.LimitMMPerS-k.LimitMMPerS) > 1e-9 {
			t.Fatalf("turned round %+v, want %+v", back, k)
		}
	})
}

// A feed that does not fall is said to fall in one climb of twenty at most, and no limit is then put below what it fed.
func TestAFlatFeedSeldomSeemsToFall(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of simulated checks take longer than -short allows")
	}
	const draws = 500
	rng := rand.New(rand.NewPCG(2026, 15))
	for _, sd := range []float64{0.004, 0} {
		grows, found, bounded := 0, 0, 0
		for range draws {
			fractions := make([]float64, 10)
			for i := range fractions {
				fractions[i] = 0.98 + 0.004*rng.NormFloat64()
			}
			k := gauge.KneeOf(fedAt(sd, fractions...), 0.02)
			if k.Grows {
				grows++
			}
			if k.Found {
				found++
			}
			if k.Open {
				bounded++
			}
		}
		t.Logf("SD %g: said to fall %.1f %%, a limit found %.1f %%, without an upper end %.1f %%", sd,
			percent(grows, draws), percent(found, draws), percent(bounded, draws))
		if percent(grows, draws) > 6 || percent(bounded, draws) < 94 {
			t.Errorf("SD %g: said to fall in %.1f %%, unbounded in %.1f %%", sd, percent(grows, draws), percent(bounded, draws))
		}
	}
}
