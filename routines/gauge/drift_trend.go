package gauge

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// falseAlarm is how often a steady row of checks may leave its limits.
const falseAlarm = 0.05

// beyondAll is how many standard deviations hold all of n values 19 times of 20, as in LineControl, where the deviation
// is known.
func beyondAll(n int) float64 { return distuv.UnitNormal.Quantile(1 - shareOf(falseAlarm, n)/2) }

// A trend is the straight line through checks over days, each weighted by its own uncertainty.
type trend struct {
	perDay, sdPerDay float64
	k                float64 // coverage factor that belongs to sdPerDay
	days             float64 // from the first check to the last
	scatters         bool    // beyond what the gauge explains; sdPerDay is then widened by as much
	bends            bool    // a parabola is truly better
}

// trendOf draws the line. False for fewer than three different times, and for numbers beyond all measure.
func trendOf(checks []Check) (trend, bool) {
	points, times := pointsOf(checks)
	if times < leastChecks {
		return trend{}, false
	}
	line, err := FitLine(points)
	if err != nil {
		return trend{}, false
	}
	_, bends := line.Curved()
	return trend{perDay: line.B, sdPerDay: line.SDB, k: CoverageAt(line.Freedom), days: points[len(points)-1].X,
		scatters: !math.IsInf(line.Freedom, 1), bends: bends}, true
}

// pointsOf are checks in the order of time over the days since the first, and how many different times there are.
func pointsOf(checks []Check) (points []Point, times int) {
	for i, c := range checks {
		points = append(points, Point{X: c.At.Sub(checks[0].At).Hours() / 24, Y: c.Value, SDY: c.sd()})
		if i == 0 || points[i].X > points[i-1].X {
			times++
		}
	}
	return points, times
}

// signals are about the row as a whole, so they stretch from the first check to the last.
func (t trend) signals(last int) []Signal {
	var out []Signal
	if math.Abs(t.perDay) > t.k*t.sdPerDay {
		out = append(out, Signal{Rule: RuleDrift, To: last, Side: sideOf(t.perDay)})
	}
	if t.bends {
		out = append(out, Signal{Rule: RuleBends, To: last})
	}
	if t.scatters {
		out = append(out, Signal{Rule: RuleScatter, To: last})
	}
	return out
}

func sideOf(change float64) string {
	if change < 0 {
		return "low"
	}
	return "high"
}
