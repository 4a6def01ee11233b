package melt

import "math"

const (
	thickFilamentMM = 2.3 // between the two sizes there are

	// ColdMarginMM is how far short of the cold side a stroke ends: what was molten hardens there, and jams (our own choice).
	ColdMarginMM = 0.25
)

func (p Path) thick() bool { return p.FilamentMM > thickFilamentMM }

// CeilingMM is how far filament is pulled back at most without an explicit override, mm: the usual ceiling, and always short
// of the cold side by ColdMarginMM where the way to it was measured.
func CeilingMM(p Path) float64 {
	usual := usualCeilingMM(p)
	if !(p.ColdSideMM > 0) {
		return usual
	}
	return math.Min(usual, math.Max(p.ColdSideMM-ColdMarginMM, 0))
}

// usualCeilingMM is 2 for a direct drive, above which heat creeps up, and 1 with 2.85 mm filament; with a tube it is 8, or
// 10 with 2.85 mm filament. Common practice, no source.
func usualCeilingMM(p Path) float64 {
	switch {
	case p.Tube && p.thick():
		return 10
	case p.Tube:
		return 8
	case p.thick():
		return 1
	}
	return 2
}
