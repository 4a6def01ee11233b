package gauge

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// What a drift chart says beside the rules of any chart (chart_rules.go).
const (
	RuleBeyondWhole = "one beyond the limit with its whole ±"
	RuleAverage     = "the average is beyond its limit"
	RuleDrift       = "it drifts: the checks go one way by more than the gauge explains"
	RuleBends       = "the drift is not steady: a straight line does not fit it"
	RuleScatter     = "the checks scatter by more than the gauge explains"
	RuleMoved       = "it has moved by more than the tolerance since the first check"
)

// A Check is one measurement of what should stay as it is, with the gauge's own expanded uncertainty, in its unit.
type Check struct {
	At         time.Time // zero: nobody knows
	Value, U95 float64
}

// A Drift is what a row of checks says about change over time. PerDay, SDPerDay and U95PerDay are 0 below three checks.
type Drift struct {
	PerDay, SDPerDay float64
	U95PerDay        float64   // of PerDay, about 95 %
	Again            time.Time // check again by then; zero unless Known
	Known            bool
	Why              string // why Again is not known, or what set it
	Centre           float64
	Points           []ChartPoint // of the checks, each with the limits of its own check
	Average          []ChartPoint // the average that forgets, at the same checks (drift_memory.go)
	Signals          []Signal
}

// leastChecks: two make a line that nothing could contradict.
const leastChecks = 3

// DriftOf finds the drift of checks of one thing between which nothing was changed, in the order in which they were made;
// tolerance is how far the value may go, in its unit. The charts need that order alone. A rate needs times: what has none
// counts in the charts and not in it.
//
// The limits around the mean come from the gauge's own uncertainty and not from how the checks scatter, so wide that a
// steady row of that length is called out 1 time of 20 by all rules together. Uncertainties are taken as independent: what
// a gauge adds to every check alike widens the limits and hides a drift rather than feigning one.
func DriftOf(checks []Check, tolerance float64) Drift {
	if why := unusable(checks); why != "" {
		return Drift{Why: why}
	}
	d, timed := chartOf(checks), inTime(checks)
	trend, ok := trendOf(timed)
	if !ok {
		d.Why = fmt.Sprintf("a drift shows from %d checks at different times on", leastChecks)
		return d
	}
	d.PerDay, d.SDPerDay, d.U95PerDay = trend.perDay, trend.sdPerDay, trend.k*trend.sdPerDay
	d.Signals = append(d.Signals, trend.signals(len(checks)-1)...)
	d.Signals = append(d.Signals, moved(checks, tolerance)...)
	d.again(timed, trend, tolerance)
	return d
}

// inTime is the checks whose time is known, in its order.
func inTime(checks []Check) []Check {
	timed := slices.DeleteFunc(slices.Clone(checks), func(c Check) bool { return c.At.IsZero() })
	slices.SortStableFunc(timed, func(a, b Check) int { return a.At.Compare(b.At) })
	return timed
}

// unusable says why a check cannot be counted: one is enough to ask for all to be looked at.
func unusable(checks []Check) string {
	for _, c := range checks {
		if !finite(c.Value) {
			return "a check has no value"
		}
		if !finite(c.U95) || c.U95 <= 0 {
			return "a check has no uncertainty"
		}
	}
	return ""
}

// CentreOf is the mean of checks, weighted by their uncertainties, in their unit; 0 of none.
func CentreOf(checks []Check) float64 {
	centre, _ := centreOf(checks)
	return centre
}

func centreOf(checks []Check) (centre, weight float64) {
	var sum float64
	for _, c := range checks {
		sum += c.weight() * c.Value
		weight += c.weight()
	}
	if weight == 0 {
		return 0, 0
	}
	return sum / weight, weight
}

// chartOf holds each check against the mean of all.
func chartOf(checks []Check) Drift {
	centre, weight := centreOf(checks)
	if weight == 0 {
		return Drift{}
	}
	d := Drift{Centre: centre, Points: make([]ChartPoint, len(checks))}
	whole, z := make([]float64, len(checks)), make([]float64, len(checks))
	factor := beyondAll(len(checks))
	for i, c := range checks {
		// The mean has the check itself in it, so the two lie closer together than either from the truth.
		sd := math.Sqrt(math.Max(0, 1/c.weight()-1/weight))
		half := factor * sd
		d.Points[i] = ChartPoint{Value: c.Value, Shown: c.Value, Low: d.Centre - half, High: d.Centre + half}
		if off := c.Value - d.Centre; half > 0 {
			z[i] = farSigma * off / half
			whole[i] = farSigma * math.Copysign(math.Max(0, math.Abs(off)-c.U95), off) / half
		}
	}
	d.Signals = append(signalsIn(whole, []rule{{RuleBeyondWhole, 1, bothSides(), beyond(1, farSigma)}}), signalsIn(z, driftRules())...)
	average := memoryOf(checks, centre, weight)
	d.Average, d.Signals = average.Points, append(d.Signals, average.Out...)
	return d
}

// weight is one over the check's variance.
func (c Check) weight() float64 { return 1 / (c.sd() * c.sd()) }

// sd is the check's standard uncertainty.
func (c Check) sd() float64 { return c.U95 / CoverageFactor }

// driftRules are the two that checks with uncertainties of different size can be held to: rows on one side are rather
// asked of the trend, which weighs each check.
func driftRules() []rule { return []rule{beyondRule(), {RuleSixOneWay, 6, bothSides(), climbing}} }
