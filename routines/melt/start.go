package melt

import (
	"math"
	"strings"
)

// A Path is how filament gets from the gear to the nozzle.
type Path struct {
	Tube           bool
	FilamentMM     float64 // diameter
	BoreMM         float64 // of the tube
	OuterMM        float64 // of the tube; not above the bore: twice the bore
	LengthMM       float64 // of the tube
	QuarterTurns   float64 // its bends, all added
	CouplerPlayMM  float64 // of both couplers together; 0: half a millimetre until measured
	ModulusMPa     float64 // of the filament; 0: as a usual stiff one
	TubeModulusMPa float64 // 0: as a usual fluoropolymer
	ColdSideMM     float64 // the measured way from the nozzle's tip to the cold side; 0: not known
	Flexible       bool
}

// A Part is one contribution to a start value.
type Part struct {
	Name string  `json:"name"`
	MM   float64 `json:"mm"`
}

// A Start is where a search for the retraction length begins.
type Start struct {
	MM        float64
	Parts     []Part     // what MM is the sum of; empty where it is not computed
	CommonMM  [2]float64 // what is usual, which no search leaves out
	CeilingMM float64    // beyond it only by an explicit override
	Note      string     // why it is not computed, or what bounds it
}

// The numbers behind a start.
const (
	extrudingN     = 10.0   // what extrusion usually pushes with, of 5 to 20 N (estimate)
	stiffMPa       = 3500.0 // of a usual stiff filament (from memory)
	fluoropolymer  = 500.0  // MPa, of a usual tube (from memory)
	leastSpringMPa = 1000.0 // below it the spring computes to tens of millimetres, and says nothing
	couplersMM     = 0.5    // play of the couplers until somebody has pulled at the tube (common practice, no source)
	meltMM         = 0.8    // for the melt itself (our own simulation)
)

// StartOf is where the search for a retraction length begins, mm. A direct drive begins at 1 mm, and at half of it with
// 2.85 mm filament, which moves 2.65 times the melt with each millimetre. A tube begins at slack, spring of the filament,
// stretch of the tube, play of the couplers and the melt's own part (common practice, no source; the parts are mechanics).
func StartOf(p Path) Start {
	s := Start{MM: 1, CommonMM: [2]float64{0.25, 2}}
	switch {
	case p.Tube:
		s = tubeStart(p)
	case p.thick():
		s = Start{MM: 0.5, CommonMM: [2]float64{0.1, 1}}
	}
	if s.CeilingMM = CeilingMM(p); s.CeilingMM < usualCeilingMM(p) {
		s.Note = strings.TrimSpace(s.Note + " The way to the cold side bounds it.")
	}
	s.MM = math.Min(s.MM, s.CeilingMM)
	return s
}

func tubeStart(p Path) Start {
	s := Start{MM: 3, CommonMM: [2]float64{3, usualCeilingMM(p)}}
	modulus := orUsual(p.ModulusMPa, stiffMPa)
	if p.Flexible || modulus < leastSpringMPa {
		s.Note = "Filament this soft springs by more than can be computed; the start is the usual one."
		return s
	}
	if !(p.BoreMM > 0 && p.LengthMM > 0 && p.FilamentMM > 0) {
		s.Note = "Bore and length of the tube are not known, so nothing is computed; the start is the usual one."
		return s
	}
	outer := 2 * p.BoreMM
	if p.OuterMM > p.BoreMM {
		outer = p.OuterMM
	}
	s.Parts = []Part{
		{"slack", SlackMM(p.QuarterTurns, p.BoreMM, p.FilamentMM)},
		{"filament spring", ShorteningMM(extrudingN, p.LengthMM, modulus, AreaMM2(p.FilamentMM))},
		{"tube stretch", ShorteningMM(extrudingN, p.LengthMM, orUsual(p.TubeModulusMPa, fluoropolymer), RingMM2(outer, p.BoreMM))},
		{"coupler play", orUsual(p.CouplerPlayMM, couplersMM)},
		{"melt", meltMM},
	}
	s.MM = 0
	for _, part := range s.Parts {
		s.MM += part.MM
	}
	return s
}

func orUsual(v, usual float64) float64 {
	if v > 0 {
		return v
	}
	return usual
}
