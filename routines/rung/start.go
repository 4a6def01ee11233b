package rung

import "math"

// Ceilings in mm, common practice, no source: heat creep and clogs on a direct drive, the way to the cold side on a tube.
const (
	directCeilingMM     = 2
	tubeCeilingMM       = 8
	wideDirectCeilingMM = 1 // 2.85 mm filament
	wideTubeCeilingMM   = 10
	mostCeilingMM       = 20 // whatever is asked for: no path of a usual printer holds more
)

// wideFilamentMM parts 1.75 from 2.85 mm filament.
const wideFilamentMM = 2.4

func (s Start) wide() bool { return s.FilamentMM >= wideFilamentMM }

// sound is the start with what is missing or impossible replaced by common practice.
func (s Start) sound() Start {
	if !(s.CeilingMM > 0) || math.IsInf(s.CeilingMM, 0) {
		s.CeilingMM = s.usualCeilingMM()
	}
	s.CeilingMM = math.Min(s.CeilingMM, mostCeilingMM)
	if !(s.LikelyMM > 0) || math.IsInf(s.LikelyMM, 0) {
		s.LikelyMM = s.usualLikelyMM()
	}
	s.LikelyMM = math.Min(s.LikelyMM, s.CeilingMM)
	if !(s.CommonMM[0] >= 0 && s.CommonMM[1] > s.CommonMM[0]) {
		s.CommonMM = [2]float64{s.LikelyMM / 2, s.LikelyMM * 2}
	}
	return s
}

func (s Start) usualCeilingMM() float64 {
	switch {
	case s.Tube && s.wide():
		return wideTubeCeilingMM
	case s.Tube:
		return tubeCeilingMM
	case s.wide():
		return wideDirectCeilingMM
	}
	return directCeilingMM
}

func (s Start) usualLikelyMM() float64 {
	if s.Tube {
		return 3
	}
	return s.usualCeilingMM() / 2
}

// rungs are the distances between two bands, in mm, that pieces of this machine may have, the widest first. Common
// practice, no source.
func (s Start) rungs() []float64 {
	switch {
	case s.Tube:
		return []float64{0.5, 0.25}
	case s.wide():
		return []float64{0.1}
	}
	return []float64{0.25}
}

// fine is how much finer than usual a length is to be found: a millimetre of 2.85 mm filament moves 2.65 times the melt,
// and on a direct drive all of the range is within one.
func (s Start) fine() float64 {
	if s.wide() && !s.Tube {
		return 0.4
	}
	return 1
}
