package gauge

import (
	"fmt"
	"math"
)

// ExpectedStepsPerMM is what an extruder of these parts takes to move one mm of filament: steps over the gear's effective
// circumference. ratio is motor turns per turn of the gear, gearMM the effective diameter, which lies within the
// teeth. 0 where a part is not a positive number.
func ExpectedStepsPerMM(stepsPerRev, microsteps, ratio, gearMM float64) float64 {
	for _, part := range []float64{stepsPerRev, microsteps, ratio, gearMM} {
		if !(part > 0) || math.IsInf(part, 1) {
			return 0
		}
	}
	return stepsPerRev * microsteps * ratio / (math.Pi * gearMM)
}

// nearPart is how far a quotient may lie from a setting's own factor and still be taken for it: gears and filament make
// no more of a difference than this (common practice, no source).
const nearPart = 0.05

// NearFactor says whether measured over expected, both steps/mm or both mm, is so near the factor of a wrong setting that
// the setting should be looked at before anything is calibrated. ratios are the gear ratios of the setup; none is
// assumed. factor is then the setting's own, and what names the setting; else it is just the quotient. Of two factors that are
// near the nearer is named. A quotient near 1 is near nothing.
func NearFactor(measured, expected float64, ratios ...float64) (factor float64, what string, near bool) {
	quotient := measured / expected
	if !(quotient > 0) || math.IsInf(quotient, 1) {
		return 0, "", false
	}
	factor, best := quotient, math.Log1p(nearPart)
	for _, s := range settings(ratios) {
		for _, f := range []float64{s.factor, 1 / s.factor} {
			if off := math.Abs(math.Log(quotient / f)); off <= best && !isOne(f) {
				factor, what, near, best = f, s.what, true, off
			}
		}
	}
	return factor, what, near
}

// isOne is whether a factor is too near 1 to be told from a gear that is a little worn or pressed.
func isOne(factor float64) bool { return math.Abs(math.Log(factor)) <= 2*math.Log1p(nearPart) }

type setting struct {
	factor float64 // either way: one to this, or this to one
	what   string
}

// settings are those that a feed comes out wrong by a factor of. Where two have the same factor the first is named.
func settings(ratios []float64) []setting {
	out := []setting{
		{2, "microsteps differ by a factor of 2, or the motor's steps per turn do"},
		{4, "microsteps differ by a factor of 4"},
		{8, "microsteps differ by a factor of 8"},
		{16, "microsteps differ by a factor of 16: one side may count full steps"},
		{SectionMM2(1.75), "volumetric extrusion: lengths are taken as mm³ of 1.75 mm filament"},
		{SectionMM2(2.85), "volumetric extrusion: lengths are taken as mm³ of 2.85 mm filament"},
	}
	for _, r := range ratios {
		if r > 0 && !math.IsInf(r, 1) {
			out = append(out, setting{r, fmt.Sprintf("the gear ratio of %.3g is counted on one side only", r)})
		}
	}
	return out
}

// SectionMM2 is the cross section of round filament, mm²: mm³ in each mm of it.
func SectionMM2(diameterMM float64) float64 { return math.Pi * diameterMM * diameterMM / 4 }
