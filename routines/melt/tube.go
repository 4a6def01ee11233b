package melt

import "math"

// AreaMM2 is the cross-section of a round strand, mm²: π·d²/4.
func AreaMM2(diameterMM float64) float64 { return math.Pi * diameterMM * diameterMM / 4 }

// RingMM2 is the cross-section of a tube's wall, mm².
func RingMM2(outerMM, boreMM float64) float64 { return AreaMM2(outerMM) - AreaMM2(boreMM) }

// SlackMM is the filament that a bent tube hides, mm: pushed it rides the outer wall, pulled the inner, so that
// slack = θ·(bore − filament) with the bends added whatever their direction, θ in radians. Geometry.
func SlackMM(quarterTurns, boreMM, filamentMM float64) float64 {
	return quarterTurns * math.Pi / 2 * math.Max(boreMM-filamentMM, 0)
}

// ShorteningMM is how much a rod or tube of the length L and the cross-section A gives under a force along it, mm: F·L/(E·A),
// Hooke's law. Newtons, millimetres and megapascals go together.
func ShorteningMM(forceN, lengthMM, modulusMPa, areaMM2 float64) float64 {
	return forceN * lengthMM / (modulusMPa * areaMM2)
}

// ChordShortMM is how much a strand bent to a radius reads too short along a straight rule, mm: arc less chord.
func ChordShortMM(lengthMM, radiusMM float64) float64 {
	return lengthMM - 2*radiusMM*math.Sin(lengthMM/(2*radiusMM))
}
