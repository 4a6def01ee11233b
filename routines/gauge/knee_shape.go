package gauge

import (
	"cmp"
	"math"
	"slices"
)

// A shape is a law by which what is fed stays flat up to an onset and then falls, by a power of the speed beyond it. It is
// pinned down by where it has fallen by the tolerance, so that this speed is what is fitted:
//
//	fraction(v) = level · (1 - tolerance · ((v - onset)/(limit - onset))^power), level below the onset
type shape struct {
	onset float64 // as a part of the limit
	power int
}

// shapes reach from a bend that is felt from the start (a power of the speed itself) to a gear that lets go at once. A
// straight fall from standstill is none of them: it is never flat, and no level could be told from it.
func shapes() []shape {
	out := []shape{{0, 2}, {0, 3}, {0, 4}, {0, 6}, {0, 9}}
	for _, onset := range []float64{0.3, 0.5, 0.65, 0.75, 0.85, 0.92, 0.97, 0.99, 0.999} {
		for power := 1; power <= 3; power++ {
			out = append(out, shape{onset, power})
		}
	}
	return out
}

// farBelow is how many tolerances below the level what is fed no longer tells about the limit: how much is lost once a
// gear grinds is chance, so there only that it is lost counts.
const farBelow = 5

// mostLost is the part of the level at which a fall counts as no deeper.
func mostLost(tolerance float64) float64 { return math.Min(1, farBelow*tolerance) }

// left is what part of the level is left at a speed.
func (s shape) left(speed, limit, tolerance float64) float64 {
	beyond := speed - s.onset*limit
	if beyond <= 0 {
		return 1
	}
	base, fall := beyond/(limit-s.onset*limit), tolerance
	for range s.power {
		fall *= base
	}
	return 1 - math.Min(fall, mostLost(tolerance))
}

// raised is the points by rising speed, those far below what is fed at low speed raised to where left ends.
func raised(points []Fed, tolerance float64) []Fed {
	out := slices.Clone(points)
	slices.SortStableFunc(out, func(a, b Fed) int { return cmp.Compare(a.SpeedMMPerS, b.SpeedMMPerS) })
	floor := startOf(out[:(len(out)+2)/3], tolerance) * (1 - mostLost(tolerance))
	for i := range out {
		out[i].Fraction = math.Max(out[i].Fraction, floor)
	}
	return out
}

// startOf is the mean of the slowest points without those that have fallen far already.
func startOf(slowest []Fed, tolerance float64) float64 {
	most := slowest[0].Fraction
	for _, p := range slowest {
		most = math.Max(most, p.Fraction)
	}
	var whole []float64
	for _, p := range slowest {
		if p.Fraction >= most*(1-mostLost(tolerance)) {
			whole = append(whole, p.Fraction)
		}
	}
	return meanOf(whole)
}

// A bend is a shape with its limit as it fits the points best.
type bend struct {
	limit float64 // 0: flat
	level float64
	sd    float64 // of level, for points of their stated deviation, were limit and shape known
	chi2  float64 // what it leaves, squared, each over its variance
}

// fitLevel finds the level at which the parts left fit the points best, and what that leaves.
func fitLevel(points []Fed, left func(speed float64) float64) bend {
	var ff, fy, yy float64
	for _, p := range points {
		f, w := left(p.SpeedMMPerS), p.weight()
		ff, fy, yy = ff+w*f*f, fy+w*f*p.Fraction, yy+w*p.Fraction*p.Fraction
	}
	if ff == 0 {
		return bend{chi2: yy}
	}
	return bend{level: fy / ff, sd: 1 / math.Sqrt(ff), chi2: math.Max(0, yy-fy*fy/ff)}
}
