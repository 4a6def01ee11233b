package rung

import "math"

// stepMM is the grain of every length: finer than a piece can tell and than a slicing program needs.
const stepMM = 0.05

// A scale counts lengths in whole steps, so that a length is the same number wherever it comes from.
type scale struct {
	mm  float64 // of one step
	top int     // steps up to the ceiling
}

// scaleOf is the scale below a ceiling. One too low for eight lengths in steps of stepMM is divided by eight.
func scaleOf(ceilingMM float64) scale {
	top := int(ceilingMM/stepMM + 1e-9)
	if top < Bands {
		return scale{ceilingMM / Bands, Bands}
	}
	return scale{stepMM, top}
}

// at is the length of so many steps, in mm, without the dust of binary fractions.
func (s scale) at(steps int) float64 { return math.Round(float64(steps)*s.mm*1e9) / 1e9 }

// near is the step nearest to a length.
func (s scale) near(mm float64) int { return int(math.Round(mm / s.mm)) }

// whole is how many whole steps a distance holds.
func (s scale) whole(mm float64) int { return int(mm/s.mm + 1e-9) }

// held is at, and never above the ceiling.
func (s scale) held(steps int, ceilingMM float64) float64 { return math.Min(s.at(steps), ceilingMM) }
