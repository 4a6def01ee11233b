package gauge

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// falseAlarm is how often a steady row of checks may be called out, by whatever rule.
const falseAlarm = 0.05

// looks are the ways a row is looked at: its values, their average, the line through them, its bend and their scatter. A
// row on one way and one that moved beyond the tolerance are so rare in a steady row that they take no share.
const looks = 5

// alarmOfOne is the part of falseAlarm that falls to one of the looks.
func alarmOfOne() float64 { return shareOf(falseAlarm, looks) }

// beyondAll is how many standard deviations hold all of n values but for the alarm of one look, as in LineControl, where
// the deviation is known.
func beyondAll(n int) float64 { return distuv.UnitNormal.Quantile(1 - shareOf(alarmOfOne(), n)/2) }

// A trend is the straight line through checks over days, each weighted by its own uncertainty.
type trend struct {
	perDay, sdPerDay float64
	k                float64 // coverage factor that belongs to sdPerDay
	far              float64 // how many sdPerDay a steady row does not reach, but for its share of false alarms
	days             float64 // from the first check to the last
	byScatter        float64 // how often the gauge alone scatters checks so; where that is rare, sdPerDay is widened
	byBend           float64 // how often a steady drift would bend so
	bends            bool    // a parabola is likely better: nothing is said of times to come
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
	byBend, bends := line.Curved()
	free := float64(line.N - 2)
	return trend{perDay: line.B, sdPerDay: line.SDB, k: CoverageAt(line.Freedom), far: StudentT(1-alarmOfOne(), line.Freedom),
		days: points[len(points)-1].X, byScatter: distuv.ChiSquared{K: free}.Survival(free * line.S * line.S),
		byBend: byBend, bends: bends}, true
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
	if math.Abs(t.perDay) > t.far*t.sdPerDay {
		out = append(out, Signal{Rule: RuleDrift, To: last, Side: sideOf(t.perDay)})
	}
	if t.byBend < alarmOfOne() {
		out = append(out, Signal{Rule: RuleBends, To: last})
	}
	if t.byScatter < alarmOfOne() {
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
