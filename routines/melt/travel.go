package melt

import "math"

// TravelS is how long a way from rest to rest takes, s, of the head or of the filament: up to the top speed with the acceleration a, along, and down again.
// Where v²/a >= g the top speed is not reached and t = 2·sqrt(g/a); otherwise t = g/v + v/a. Textbook kinematics.
func TravelS(wayMM, topMMPerS, accelMMPerS2 float64) float64 {
	if wayMM <= 0 {
		return 0
	}
	if topMMPerS*topMMPerS/accelMMPerS2 >= wayMM {
		return 2 * math.Sqrt(wayMM/accelMMPerS2)
	}
	return wayMM/topMMPerS + topMMPerS/accelMMPerS2
}

// UsefulSpeedMMPerS is the speed above which a way from rest to rest gets no faster, mm/s: v = sqrt(a·g), from TravelS. It
// holds for a gap that is crossed as for the stroke of a retraction.
func UsefulSpeedMMPerS(wayMM, accelMMPerS2 float64) float64 {
	return math.Sqrt(math.Max(wayMM, 0) * accelMMPerS2)
}

// A Haste is a search for the slowest speed that is fast enough.
type Haste struct {
	LongestMM    float64 // the person's longest usual travel
	AccelMMPerS2 float64 // of the machine, by its own report
	MostMMPerS   float64 // never above it: the machine's own limit
	StepMMPerS   float64 // speeds differ by it
	Within       float64 // of the shortest time: 0.03
}

// EnoughMMPerS is the lowest step of speed at which the longest usual travel takes at most so much more than the shortest
// time it could take on this machine, mm/s (common practice, no source; the bound of 3 % is ours). It is at most
// MostMMPerS, which need not be a whole step.
func (h Haste) EnoughMMPerS() float64 {
	best := TravelS(h.LongestMM, h.MostMMPerS, h.AccelMMPerS2) * (1 + h.Within)
	for v := h.StepMMPerS; v < h.MostMMPerS; v += h.StepMMPerS {
		if TravelS(h.LongestMM, v, h.AccelMMPerS2) <= best {
			return v
		}
	}
	return h.MostMMPerS
}
