package gauge

import (
	"math"
	"time"
)

// moved is whether the last check lies beyond tolerance of the first, and beyond doubt.
func moved(checks []Check, tolerance float64) []Signal {
	first, last := checks[0], checks[len(checks)-1]
	change := last.Value - first.Value
	if math.Abs(change)-Combine(first.U95, last.U95) <= tolerance || !(tolerance > 0) {
		return nil
	}
	return []Signal{{Rule: RuleMoved, To: len(checks) - 1, Side: sideOf(change)}}
}

// again sets when to check again, counted from the last check whose time is known.
func (d *Drift) again(checks []Check, t trend, tolerance float64) {
	last := checks[len(checks)-1]
	if !(tolerance > 0) || math.IsInf(tolerance, 1) {
		d.Why = "no tolerance was stated"
		return
	}
	if last.U95 >= tolerance {
		d.Why = "the gauge is too coarse for this tolerance: its own uncertainty fills it"
		return
	}
	if t.bends {
		d.Why = "the drift is not steady, so nothing says how far it goes from here"
		return
	}
	days := t.daysWithin(last.U95, tolerance)
	d.Why = "by then drift and its uncertainty may have used up the tolerance"
	if days > t.days {
		days, d.Why = t.days, "drift leaves more time, but nothing is known further ahead than it was watched"
	}
	d.Known, d.Again = true, last.At.Add(time.Duration(days*24*float64(time.Hour)))
}

// daysWithin is how long the value is within tolerance of the last check for all that is known: the least x for which
//
//	|b| x + √(U² + (k s x)²) = T
//
// with the rate b per day, its standard deviation s, the last check's U and the tolerance T. Solved for x from the side of
// 0, in the form that holds for b = 0 as well as for b = k s.
func (t trend) daysWithin(u95, tolerance float64) float64 {
	rate, doubt := math.Abs(t.perDay), t.k*t.sdPerDay
	room := tolerance*tolerance - u95*u95
	root := math.Sqrt(rate*rate*u95*u95 + doubt*doubt*room)
	return room / (tolerance*rate + root)
}
