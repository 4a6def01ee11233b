package rung

import "math"

// An onset is the belief where voids without strings begin: by step, and beyond the last one nowhere below the ceiling.
// Voids are melt that a restart did not bring back; what is missing grows with every length beyond need.
type onset []float64

// Void looks are wrong now and then; and few machines have voids at all. Our own simulation.
const (
	wrongVoid   = 0.06
	neverVoids  = 0.6
	onsetGrowMM = 2.0 // how far beyond need voids begin, 1.75 mm filament: the scale of a gently rising chance
)

// onsetOf is Bayes' rule over the places where voids may begin. Bands with strings say nothing here: their voids are
// melt lost on the way.
func onsetOf(s Start, seen []sight) onset {
	sc := scaleOf(s.CeilingMM)
	o := make(onset, sc.top+2)
	most := math.Inf(-1)
	for k := range o {
		o[k] = onsetPrior(s, sc, k)
		for _, at := range seen {
			o[k] += at.voidChance(k)
		}
		most = math.Max(most, o[k])
	}
	sum := 0.0
	for k := range o {
		o[k] = math.Exp(o[k] - most)
		sum += o[k]
	}
	for k := range o {
		o[k] /= sum
	}
	return o
}

// onsetPrior is the logarithm of the chance that voids begin at a step.
func onsetPrior(s Start, sc scale, step int) float64 {
	if step > sc.top {
		return math.Log(neverVoids)
	}
	return math.Log((1 - neverVoids) / float64(sc.top+1))
}

// voidChance is the logarithm of the chance of the voids seen at a length, if they begin at a step.
func (s sight) voidChance(begin int) float64 {
	chance := wrongVoid
	if s.steps >= begin {
		chance = 1 - wrongVoid
	}
	return float64(s.voids)*math.Log(chance) + float64(s.whole-s.voids)*math.Log(1-chance)
}

// free is the chance that a length has no voids.
func (o onset) free(steps int) float64 {
	sum := 0.0
	for k := steps + 1; k < len(o); k++ {
		sum += o[k]
	}
	return sum
}

// spoilt is the chance that voids forbid every length at which strings are few enough, if there is one.
func (b belief) spoilt() float64 {
	sum := 0.0
	for k := range b.scale.top + 1 {
		sum += b.need[k] * (1 - b.voids.free(k))
	}
	return sum / b.serves()
}
