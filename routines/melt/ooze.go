package melt

import "math"

// A Melt is the plastic between gear and nozzle in first order: a spring that empties itself through a throttle. Our own
// model; its constants are estimates.
type Melt struct {
	SpringMM   float64 // filament that stands compressed at the flow it was printed with
	SlackMM    float64 // way of the gear that moves nothing at the nozzle
	EmptiesInS float64 // time constant: compliance times resistance
	FilamentMM float64 // diameter
	WeightMM   float64 // ooze that no stroke takes off, as filament in one time constant
}

// StandingMM is the compression that is left after a stroke, mm of filament: a stroke first takes up the slack, then takes off
// the spring, and past both it sucks melt back, which is below zero.
func (m Melt) StandingMM(strokeMM float64) float64 {
	return m.SpringMM - math.Max(strokeMM-m.SlackMM, 0)
}

// OozeMM3 is what leaves the nozzle on a travel after a stroke, mm³: the compression that stands decays as exp(−t/τ), and its
// own weight drives a little more. Sucked back, the melt returns before anything leaves.
func (m Melt) OozeMM3(strokeMM, travelS float64) float64 {
	decayed := 1 - math.Exp(-travelS/m.EmptiesInS)
	lost := m.StandingMM(strokeMM)*decayed + m.WeightMM*travelS/m.EmptiesInS
	return math.Max(lost, 0) * AreaMM2(m.FilamentMM)
}

// DeficitMM3 is what is missing when the nozzle restarts, mm³: what was lost on the way, and a part of what was sucked back
// beyond need, about 0.05 mm³ (1.75 mm) or 0.13 mm³ (2.85 mm) per 0.5 mm (our own simulation).
func (m Melt) DeficitMM3(strokeMM, travelS float64) float64 {
	const perMM = 0.1 / 2.405 // of the filament's cross-section
	over := math.Max(-m.StandingMM(strokeMM), 0)
	return m.OozeMM3(strokeMM, travelS) + perMM*AreaMM2(m.FilamentMM)*over
}
