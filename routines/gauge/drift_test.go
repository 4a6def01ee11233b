package gauge_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"fettle/routines/gauge"
)

// onDay is a moment so many days after an invented first check.
func onDay(days float64) time.Time {
	return time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC).Add(time.Duration(days * 24 * float64(time.Hour)))
}

// weekly are checks a week apart.
func weekly(u95 float64, values ...float64) []gauge.Check {
	var checks []gauge.Check
	for i, v := range values {
		checks = append(checks, gauge.Check{At: onDay(7 * float64(i)), Value: v, U95: u95})
	}
	return checks
}

// A line worked out by hand: 93, 93.7, 94.4 a week apart is 0.1 a day; with u = 0.1 the deviation of the rate is
// 0.1/√(7²+0²+7²) = 0.0101. Within 2 of the last check for x days: 0.1x + √(0.2² + (2·0.0101x)²) = 2, x = 17.6, and
// the checks have seen 14.
func TestDriftByHand(t *testing.T) {
	d := gauge.DriftOf(weekly(0.2, 93, 93.7, 94.4), 2)
	near(t, "per day", d.PerDay, 0.1, 1e-12)
	near(t, "its deviation", d.SDPerDay, 0.1/math.Sqrt(98), 1e-12)
	if !d.Known || !d.Again.Equal(onDay(14+14)) {
		t.Errorf("again %v (%v, %q), want no further ahead than it was watched", d.Again, d.Known, d.Why)
	}
	for _, rule := range []string{gauge.RuleDrift, gauge.RuleBeyond} {
		if !slices.Contains(rules(d.Signals), rule) {
			t.Errorf("no %q among %v", rule, d.Signals)
		}
	}
}

// The moment solves its own equation, whatever the numbers.
func TestAgainSolvesItsEquation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.Float64Range(-0.5, 0.5).Draw(t, "rate")
		u95 := rapid.Float64Range(0.01, 0.9).Draw(t, "u95")
		d := gauge.DriftOf(weekly(u95, 93, 93+7*rate, 93+14*rate, 93+21*rate), 1)
		x := d.Again.Sub(onDay(21)).Hours() / 24
		used := math.Abs(d.PerDay)*x + math.Hypot(u95, 2*d.SDPerDay*x)
		if !d.Known || used > 1+1e-9 {
			t.Fatalf("after %g days %g of the tolerance may be used", x, used)
		}
		if used < 1-1e-9 && math.Abs(x-21) > 1e-9 {
			t.Fatalf("after %g days only %g of the tolerance is used", x, used)
		}
	})
}

func TestNothingIsKnownWithoutData(t *testing.T) {
	steady := weekly(0.2, 93, 93.1, 92.9, 93)
	same := []gauge.Check{steady[0], steady[0], steady[1], steady[1]}
	noU := slices.Clone(steady)
	noU[2].U95 = 0
	for what, d := range map[string]gauge.Drift{
		"no check":           gauge.DriftOf(nil, 1),
		"one check":          gauge.DriftOf(steady[:1], 1),
		"two checks":         gauge.DriftOf(steady[:2], 1),
		"two moments":        gauge.DriftOf(same, 1),
		"no uncertainty":     gauge.DriftOf(noU, 1),
		"not a number":       gauge.DriftOf(append(weekly(0.2, math.NaN()), steady...), 1),
		"no tolerance":       gauge.DriftOf(steady, 0),
		"coarse gauge":       gauge.DriftOf(steady, 0.2),
		"a drift that bends": gauge.DriftOf(weekly(0.2, 93, 93, 93, 94, 96, 99), 20),
	} {
		if d.Known || !d.Again.IsZero() || d.Why == "" {
			t.Errorf("%s: known %v, again %v, why %q", what, d.Known, d.Again, d.Why)
		}
	}
}

// A check whose time nobody knows stands in the charts where it was made, and says nothing about a rate.
func TestDriftTakesChecksWithoutATime(t *testing.T) {
	checks := weekly(0.2, 93, 93.2, 93.3, 93.7)
	want := gauge.DriftOf(checks, 2)
	mixed := slices.Insert(slices.Clone(checks), 2, gauge.Check{Value: 120, U95: 0.2})
	got := gauge.DriftOf(mixed, 2)
	near(t, "per day", got.PerDay, want.PerDay, 1e-12)
	if !got.Again.Equal(want.Again) || len(got.Points) != 5 || got.Points[2].Value != 120 || !slices.Contains(rules(got.Signals), gauge.RuleBeyondWhole) {
		t.Errorf("again %v, want %v; %+v, %q", got.Again, want.Again, got.Points, rules(got.Signals))
	}
	lost := slices.Clone(mixed)
	for i := range lost {
		lost[i].At = time.Time{}
	}
	if got := gauge.DriftOf(lost, 2); len(got.Points) != 5 || got.Known || got.PerDay != 0 || got.Why == "" {
		t.Errorf("%+v", got)
	}
}

func TestDriftNamesWhatHappened(t *testing.T) {
	for _, c := range []struct {
		rule   string
		values []float64
	}{
		{gauge.RuleBeyond, []float64{93, 93.1, 92.9, 93, 94, 93}},
		{gauge.RuleBeyondWhole, []float64{93, 93.1, 92.9, 93, 94, 93}},
		{gauge.RuleAverage, []float64{93, 92.9, 93.1, 93, 92.9, 93.3, 93.4, 93.3, 93.35, 93.3}},
		{gauge.RuleSixOneWay, []float64{93, 93.02, 93.04, 93.06, 93.08, 93.1}},
		{gauge.RuleDrift, []float64{93, 93.1, 93.2, 93.3, 93.4, 93.5}},
		{gauge.RuleScatter, []float64{93, 93.4, 92.6, 93.4, 92.6, 93}},
		{gauge.RuleMoved, []float64{93, 93.1, 93.3, 93.5, 93.8, 94.5}},
		{gauge.RuleBends, []float64{93, 93, 93, 93.2, 93.7, 94.5}},
	} {
		if d := gauge.DriftOf(weekly(0.2, c.values...), 0.9); !slices.Contains(rules(d.Signals), c.rule) {
			t.Errorf("%v: no %q among %v", c.values, c.rule, d.Signals)
		}
	}
	if d := gauge.DriftOf(weekly(0.2, 93, 93.05, 92.95, 93.02, 92.98, 93), 0.9); len(d.Signals) != 0 {
		t.Errorf("a steady row gave %v", d.Signals)
	}
}

// Whoever believes the moment must find the value still within tolerance of the last check at least 19 times of 20: steady
// drifts drawn anew, read with a gauge whose error is normal with half its stated U95. Run with -v for the figures.
func TestTheValueIsWithinToleranceUntilThen(t *testing.T) {
	const draws, tolerance = 4000, 1.0
	rng := rand.New(rand.NewPCG(2026, 12))
	known, held, used, heldUsed, alarms, drifting := 0, 0, 0, 0, 0, 0
	for i := range draws {
		u95, n := 0.1+0.5*rng.Float64(), 3+rng.IntN(8)
		rate := 0.0
		if i%2 == 1 {
			rate, drifting = 0.1*(2*rng.Float64()-1), drifting+1
		}
		values := make([]float64, n)
		for w := range values {
			values[w] = 93 + 7*rate*float64(w) + u95/2*rng.NormFloat64()
		}
		d := gauge.DriftOf(weekly(u95, values...), tolerance)
		if i%2 == 0 && len(d.Signals) > 0 {
			alarms++
		}
		if !d.Known {
			continue
		}
		known++
		truth := 93 + rate*d.Again.Sub(onDay(0)).Hours()/24
		within := math.Abs(truth-values[n-1]) <= tolerance
		if within {
			held++
		}
		if d.Again.Before(onDay(14 * float64(n-1))) { // set by the tolerance, not by how long it was watched
			used++
			if within {
				heldUsed++
			}
		}
	}
	t.Logf("within tolerance then: %.2f %% of %d known (of %d)", percent(held, known), known, draws)
	t.Logf("where the tolerance set the moment: %.2f %% of %d", percent(heldUsed, used), used)
	t.Logf("steady rows with any signal: %.1f %%", percent(alarms, draws-drifting))
	if percent(held, known) < 95 || percent(heldUsed, used) < 95 || percent(known, draws) < 85 {
		t.Errorf("held in %.2f %% of %d known, in %.2f %% of %d set by the tolerance", percent(held, known), known,
			percent(heldUsed, used), used)
	}
	if percent(alarms, draws-drifting) > 5 {
		t.Errorf("steady rows were called out in %.1f %%", percent(alarms, draws-drifting))
	}
}
