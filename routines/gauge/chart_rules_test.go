package gauge_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"fettle/routines/gauge"
)

// around is a quiet row that fixes centre and limits (0 and about ±3 of its own steps), before what is looked at.
func around(tail ...float64) gauge.Chart {
	var quiet []float64
	for range 50 {
		quiet = append(quiet, 0.564, 0.564, -0.564, -0.564, 0.564, -0.564)
	}
	return gauge.Individuals(append(quiet, tail...))
}

func TestEachRuleIsBrokenByItsOwnRow(t *testing.T) {
	for _, c := range []struct {
		rule string
		side string
		tail []float64
	}{
		{gauge.RuleBeyond, "high", []float64{3.4}},
		{gauge.RuleBeyond, "low", []float64{-3.4}},
		{gauge.RuleTwoOfThree, "high", []float64{2.3, 0.1, 2.3}},
		{gauge.RuleFourOfFive, "low", []float64{-1.3, -1.4, 0.2, -1.3, -1.4}},
		{gauge.RuleEight, "high", []float64{0.5, 0.2, 0.3, 0.2, 0.5, 0.2, 0.3, 0.2}},
		{gauge.RuleSixOneWay, "low", []float64{0.9, 0.6, 0.3, -0.1, -0.4, -0.7}},
		{gauge.RuleFourteen, "", []float64{0.1, -0.2, 0.1, -0.2, 0.1, -0.2, 0.1, -0.2, 0.1, -0.2, 0.1, -0.2, 0.1, -0.2}},
	} {
		chart := around(c.tail...)
		last := len(chart.Points) - 1
		found := slices.IndexFunc(chart.Out, func(s gauge.Signal) bool { return s.Rule == c.rule && s.Side == c.side && s.To == last })
		if found < 0 {
			t.Errorf("%q, %s: signals %v", c.rule, c.side, chart.Out)
		}
		less := around(c.tail[1:]...)
		if slices.Contains(rules(less.Out), c.rule) {
			t.Errorf("%q is broken by one point fewer", c.rule)
		}
	}
}

// A rule that stays broken is told once, with where it began and ended.
func TestAStretchIsOneSignal(t *testing.T) {
	out := around(5, 6, 5).Out
	want := gauge.Signal{Rule: gauge.RuleBeyond, From: 300, To: 302, Side: "high"}
	if !slices.Contains(out, want) {
		t.Errorf("signals %v, want among them %v", out, want)
	}
}

func TestChartsOfNextToNothing(t *testing.T) {
	for _, values := range [][]float64{nil, {}, {7}, {0.1, 0.1, 0.1}, {math.NaN(), 1}} {
		if c := gauge.Individuals(values); len(c.Out) != 0 || len(c.Points) != len(values) {
			t.Errorf("%v: %+v", values, c)
		}
	}
	for _, lambda := range []float64{0, -1, 1.1, math.NaN()} {
		if c := gauge.EWMA([]float64{1, 2}, lambda, 3, 1, 0); len(c.Points) != 0 {
			t.Errorf("lambda %g made a chart", lambda)
		}
	}
}

// Turning a row upside down turns its signals over and nothing else.
func TestChartsAreEvenHanded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(-5, 5), 2, 30).Draw(t, "values")
		turned := make([]float64, len(values))
		for i, v := range values {
			turned[i] = -v
		}
		opposite := map[string]string{"high": "low", "low": "high", "": ""}
		got := gauge.Individuals(turned).Out
		for _, s := range gauge.Individuals(values).Out {
			s.Side = opposite[s.Side]
			if !slices.Contains(got, s) {
				t.Fatalf("upside down %v lacks %v", got, s)
			}
		}
	})
}

// How often a steady row breaks a rule, for a person who wonders whether to believe a signal: single values lie beyond
// the limits 0.27 % of the time (the normal distribution); the rules about zones together call at one value in ninety (from
// memory), and the two about ways and turns come on top. Run with -v for the figures.
func TestSteadyRowsSeldomBreakRules(t *testing.T) {
	rng := rand.New(rand.NewPCG(2026, 11))
	const n = 100_000
	values := make([]float64, n)
	for i := range values {
		values[i] = rng.NormFloat64()
	}
	beyond, any := 0, 0
	for _, s := range gauge.Individuals(values).Out {
		any++
		if s.Rule == gauge.RuleBeyond {
			beyond += s.To - s.From + 1
		}
	}
	t.Logf("beyond the limit: %.3f %% of values; any rule begins at %.2f %%", percent(beyond, n), percent(any, n))
	near(t, "beyond, per cent", percent(beyond, n), 0.27, 0.06)
	near(t, "any, per cent", percent(any, n), 1.6, 0.6)
}
