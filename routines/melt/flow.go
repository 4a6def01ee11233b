package melt

import "math"

// A Fluid flows by the power law: shear stress = K·(shear rate)^n. With n = 1 it is a Newtonian fluid of the viscosity K.
type Fluid struct {
	K float64 // Pa·s^n
	N float64
}

// FlowM3PerS is the flow through a round pipe, m³/s: π·R³/(1/n+3)·(Δp·R/(2·K·L))^(1/n) (Bird, Stewart, Lightfoot,
// Transport Phenomena, power-law flow in a tube; from memory). With n = 1 it is Hagen and Poiseuille's π·R⁴·Δp/(8·K·L).
func (f Fluid) FlowM3PerS(pressurePa, radiusM, lengthM float64) float64 {
	wall := pressurePa * radiusM / (2 * lengthM)
	return math.Pi * math.Pow(radiusM, 3) / (1/f.N + 3) * math.Pow(wall/f.K, 1/f.N)
}

// PressurePa is the pressure that drives a flow through a round pipe, Pa: FlowM3PerS solved for it.
func (f Fluid) PressurePa(flowM3PerS, radiusM, lengthM float64) float64 {
	wall := f.K * math.Pow(flowM3PerS*(1/f.N+3)/(math.Pi*math.Pow(radiusM, 3)), f.N)
	return wall * 2 * lengthM / radiusM
}

// WallShearPerS is the shear rate at the wall of a round pipe, 1/s: (4Q/(π·R³))·(3n+1)/(4n), after Rabinowitsch and Mooney.
func (f Fluid) WallShearPerS(flowM3PerS, radiusM float64) float64 {
	return 4 * flowM3PerS / (math.Pi * math.Pow(radiusM, 3)) * (3*f.N + 1) / (4 * f.N)
}
