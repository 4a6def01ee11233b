package gauge

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// repeatability is what the passes scatter beyond what reading and marking already account for, so that nothing is
// counted twice (JCGM 100:2008, 4.3.10).
//
// The excess is s² less what is known, and so is as uncertain as s² itself, whose variance is 2s⁴/(n-1): by JCGM
// 100:2008, G.4.2, it has (n-1)(excess/s)⁴ degrees of freedom, fewer than the n-1 of s.
func (w Work) repeatability(factor float64) Row {
	excess := w.ExcessMM()
	freedom := 0.0
	if excess > 0 {
		freedom = float64(w.Passes-1) * math.Pow(excess/w.ScatterMM, 4)
	}
	return Row{Name: "scatter of the passes", Type: "A", Distribution: DistNormal, Limit: excess, LimitUnit: "mm",
		U: excess * factor, Unit: "mm", Freedom: freedom}
}

// ExcessMM is the standard deviation of the passes beyond what reading and marking explain, mm.
func (w Work) ExcessMM() float64 {
	known := w.passU()
	return math.Sqrt(math.Max(0, w.ScatterMM*w.ScatterMM-known*known))
}

// passU is the standard uncertainty of what one pass draws anew, mm.
func (w Work) passU() float64 {
	var us []float64
	for _, r := range w.perPass(1) {
		us = append(us, r.U)
	}
	return Combine(us...)
}

// With is the same work with another instrument: what the passes scattered beyond the old one's reading goes on, and the
// new one's own reading comes to it.
func (w Work) With(g Instrument) Work {
	excess := w.ExcessMM()
	w.Gauge = g
	if excess > 0 {
		w.ScatterMM = Combine(excess, w.passU())
	}
	return w
}

// SpreadMM is how far the highest of the passes may lie from the lowest, mm, where only reading and marking tell them
// apart: in one check of twenty at most it is more. Each of the pairs gets its part of that twentieth (Bonferroni), and
// what is common to all passes cancels.
func (w Work) SpreadMM() float64 {
	pairs := math.Max(1, float64(w.Passes*(w.Passes-1)/2))
	return distuv.UnitNormal.Quantile(1-0.05/2/pairs) * math.Sqrt2 * w.passU()
}
