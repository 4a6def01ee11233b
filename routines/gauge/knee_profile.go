package gauge

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// How finely limits are tried, and how far beyond the highest speed: a limit out there is not found, but says that none
// lies below it.
const (
	limitsTried = 120
	triedBeyond = 1.5
)

// kneeFreedom is what level, limit, onset and power take up.
const kneeFreedom = 4

// A profile is how well each limit fits with the shape that suits it best.
type profile struct {
	lowest, second, highest float64 // speeds that were fed, mm/s

	tried      []bend // by rising limit
	bends      []bend // all shapes of all limits
	best, flat bend
	variance   float64 // of a point of weight 1: 1 where the points state theirs and keep to it
	free       float64 // degrees of freedom of variance; +Inf where it is taken as known
}

// profileOf takes points by rising speed.
func profileOf(points []Fed, tolerance float64) profile {
	p := profile{lowest: points[0].SpeedMMPerS, highest: points[len(points)-1].SpeedMMPerS}
	p.second = points[slices.IndexFunc(points, func(f Fed) bool { return f.SpeedMMPerS > p.lowest })].SpeedMMPerS
	p.flat = fitLevel(points, func(float64) float64 { return 1 })
	p.best.chi2 = math.Inf(1)
	all := shapes()
	for i := range limitsTried {
		p.try(points, all, p.limitAt(i), tolerance)
	}
	p.scatter(len(points), points[0].SD > 0)
	return p
}

// limitAt spaces the limits evenly, from the lowest speed to somewhat above the highest. Below the lowest none is tried:
// there a law may have fallen as far as it goes before the first point, and passes for a flat one.
func (p *profile) limitAt(i int) float64 {
	from, to := p.lowest, p.highest*triedBeyond
	return from + (to-from)*float64(i)/(limitsTried-1)
}

// try fits all shapes with one limit.
func (p *profile) try(points []Fed, all []shape, limit, tolerance float64) {
	here := bend{chi2: math.Inf(1)}
	for _, s := range all {
		b := fitLevel(points, func(speed float64) float64 { return s.left(speed, limit, tolerance) })
		b.limit = limit
		p.bends = append(p.bends, b)
		if b.chi2 < here.chi2 {
			here = b
		}
	}
	p.tried = append(p.tried, here)
	if here.chi2 < p.best.chi2 {
		p.best = here
	}
}

// scatter judges the points by what the best law leaves of them.
func (p *profile) scatter(n int, stated bool) {
	free := n - kneeFreedom
	p.variance, p.free = 1, math.Inf(1)
	if free > 0 {
		p.variance, p.free = scatterOf(p.best.chi2, free, stated)
	}
}

// allowance is how much more a law may leave than the best one does before 95 % of chance is used up, where so many of
// its numbers are held: chi-squared where the variance is known, else F.
func (p profile) allowance(held float64) float64 {
	if math.IsInf(p.free, 1) {
		return p.variance * distuv.ChiSquared{K: held}.Quantile(0.95)
	}
	return p.variance * held * distuv.F{D1: held, D2: p.free}.Quantile(0.95)
}

// interval is from the lowest limit that fits about as well as the best to the highest, and on to the next one tried on
// either side, since it may end anywhere between. It allows for two numbers, the limit and the shape that was picked for
// it: with one, laws that are none of the shapes were held only 9 times of 10 (knee_coverage_test.go).
func (p profile) interval() (low, high float64, open bool) {
	most := p.best.chi2 + p.allowance(2)
	first, last := len(p.tried)-1, 0
	for i, b := range p.tried {
		if b.chi2 <= most {
			first, last = min(first, i), i
		}
	}
	if first > 0 {
		low = p.tried[first-1].limit
	}
	if last == len(p.tried)-1 {
		return low, 0, true
	}
	return low, p.tried[last+1].limit, false
}

// level is what is short at low speed and its expanded uncertainty: over all laws that fit about as well as the best,
// or from the mean of all points where nothing grows.
func (p profile) level(grows bool) (short, u95 float64) {
	k := CoverageAt(p.free)
	if !grows {
		return 1 - p.flat.level, k * p.flat.sd * math.Sqrt(p.variance)
	}
	most, far := p.best.chi2+p.allowance(2), 0.0
	for _, b := range p.bends {
		if left := most - b.chi2; left >= 0 {
			far = math.Max(far, math.Abs(b.level-p.best.level)+b.sd*math.Sqrt(left))
		}
	}
	return 1 - p.best.level, far
}
