package spool

import (
	"math"

	"fettle/routines/gauge"
)

// What the readings of a spool can come to.
const (
	Found     = "diameter"
	Uneven    = "uneven"
	WrongSize = "wrong_size"
)

// unevenPart is the most that a usable filament differs along its way, and across it, as a part of the diameter that is
// fitted: 0.1 mm of 1.75, since spools are sold as ± 0.05 mm. Common practice, no source.
const unevenPart = 0.1 / 1.75

// sizes are the diameters that filament is sold in, mm. Common practice, no source.
var sizes = [...]float64{1.75, 2.85} // does not change

// verdict is what was measured, and what follows from it.
type verdict struct {
	gauge.Diameter
	Kind       string
	SpreadMM   float64
	SectionMM2 float64
	SectionU95 float64
	Strays     []int // readings that are far from all others, however often they were taken
}

func (s *spool) judge() verdict {
	v := verdict{Diameter: gauge.DiameterOf(s.readMM, s.gauge), Kind: Found, Strays: strays(s.readMM, s.floorMM())}
	v.SpreadMM = v.HighMM - v.LowMM
	v.SectionMM2 = gauge.SectionMM2(v.MeanMM)
	v.SectionU95 = math.Pi / 2 * v.MeanMM * v.U95MM // the slope of π·d²/4 (JCGM 100:2008, 5.1.3)
	switch {
	case v.MeanMM < s.usable.Min || v.MeanMM > s.usable.Max:
		v.Kind = WrongSize
	case s.tooWide(v.SpreadMM-s.gauge.DivisionMM) || s.tooWide(v.OvalMM):
		v.Kind = Uneven
	}
	return v
}

// tooWide reports whether a difference is beyond what is usable. Of a spread one division is the gauge's own: half of it at
// either end.
func (s *spool) tooWide(mm float64) bool { return mm > unevenPart*s.Setup.FilamentDiameterMM+rounding }

// sizeOf is the size that a diameter is of, mm, or false: within a tenth of it.
func sizeOf(mm float64) (sizeMM float64, ok bool) {
	for _, size := range sizes {
		if math.Abs(mm-size) <= 0.1*size {
			return size, true
		}
	}
	return 0, false
}
