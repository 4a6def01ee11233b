package rung

import "math"

// gapTilts are the powers by which the score may change with the width of a gap: most strings in the narrowest, alike,
// most in the widest.
var gapTilts = [...]float64{-0.25, 0, 0.25}

// The gaps of a usual piece, mm: the worst one is the narrowest or the widest, as the tilt has it.
const narrowMM, wideMM = 6, 22

// A manner is a hypothesis about the rater and the gaps together, which have nothing to do with the length.
type manner struct {
	tilt    float64
	scatter float64
	table   *gradeTable
	prior   float64 // its logarithm
}

func manners() []manner {
	var all []manner
	for i, scatter := range scatters {
		table, prior := gradeTableOf(scatter), math.Log(scatterPrior[i])
		for _, tilt := range gapTilts {
			all = append(all, manner{tilt, scatter, table, prior})
		}
	}
	return all
}

// tilted is the score of one gap of a piece whose worst gap has the given score.
func tilted(worst, gapMM, tilt float64) float64 {
	if gapMM == 0 {
		return worst
	}
	reference := float64(narrowMM)
	if tilt > 0 {
		reference = wideMM
	}
	return worst * math.Min(1, math.Pow(gapMM/reference, tilt))
}
