package rung

import "math"

// How sure anyone can be beforehand. Common practice and our own simulation; no source.
const (
	priorFactor = 1.5  // one standard deviation of the needed length about the promised one, as a factor
	priorCommon = 0.25 // weight of the range of common practice, evenly
	priorAny    = 0.05 // weight of every length up to beyond the ceiling, evenly
	priorDamp   = 0.06 // part of the machines whose strings stay whatever the length
)

// A prior weighs the needed lengths by step (beyond the scale's top: not reached) and the damp ones.
type prior struct {
	need []float64
	damp float64
}

// priorOf is a log-normal about the promised length, over a floor that excludes nothing that common practice knows.
func priorOf(s Start, sc scale) prior {
	p := prior{need: make([]float64, sc.near(s.CeilingMM*beyondFactor(s))+1), damp: priorDamp}
	p.add(1-priorCommon-priorAny, func(k int) float64 { return lognormal(sc.at(k), s.LikelyMM) })
	p.add(priorCommon, func(k int) float64 { return within(sc.at(k), s.CommonMM) })
	p.add(priorAny, func(int) float64 { return 1 })
	for k := range p.need {
		p.need[k] *= 1 - priorDamp
	}
	return p
}

// add gives a weight to the lengths, parted as told.
func (p prior) add(weight float64, part func(step int) float64) {
	sum := 0.0
	for k := 1; k < len(p.need); k++ {
		sum += part(k)
	}
	for k := 1; k < len(p.need) && sum > 0; k++ {
		p.need[k] += weight * part(k) / sum
	}
}

// beyondFactor is up to what multiple of the ceiling a need is thought of. Flexible filament asks for 2.3 to 2.8 mm on a
// direct drive: our own melt model.
func beyondFactor(s Start) float64 {
	if s.Tube {
		return 1.25
	}
	return 1.5
}

// lognormal is the density at a length, but for a factor.
func lognormal(mm, medianMM float64) float64 {
	z := math.Log(mm/medianMM) / math.Log(priorFactor)
	return math.Exp(-z*z/2) / mm
}

func within(mm float64, rangeMM [2]float64) float64 {
	if mm >= rangeMM[0] && mm <= rangeMM[1] {
		return 1
	}
	return 0
}

// slopeWeight is how much is given to an even decline: both shapes are thought of on either machine, for a setup may be
// filled in wrong.
func slopeWeight(s Start) float64 {
	if s.Tube {
		return 0.1
	}
	return 0.75
}
