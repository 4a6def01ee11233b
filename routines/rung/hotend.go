package rung

import "math"

// starved says whether the filament stopped coming, so that the hot end is to be looked at and not the length: at the
// value itself or below it, in two pieces, or as clicking in most bands of a piece.
func starved(prints []Print, valueMM float64) bool {
	pieces := 0
	for _, p := range prints {
		clicks, stopped := p.troubles()
		if 2*clicks > len(p.Bands) || stopped <= valueMM {
			return true
		}
		if !math.IsInf(stopped, 1) {
			pieces++
		}
	}
	return pieces >= 2
}

// troubles are the bands that clicked, and the shortest length at which filament stopped coming: +Inf where it never did.
func (p Print) troubles() (clicks int, stoppedMM float64) {
	stoppedMM = math.Inf(1)
	for _, b := range p.Bands {
		if b.Clicking {
			clicks++
		}
		if b.starved() {
			stoppedMM = math.Min(stoppedMM, b.LengthMM)
		}
	}
	return clicks, stoppedMM
}
