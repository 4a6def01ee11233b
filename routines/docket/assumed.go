package docket

import (
	"fettle/routines"
	"fettle/routines/melt"
)

// practice is a value that the work is done with unless somebody says otherwise. Common practice, no source.
func practice(value float64) func(routines.Setup, routines.Material) (float64, string) {
	return func(routines.Setup, routines.Material) (float64, string) { return value, CommonPractice }
}

// shortest is the travel below which nothing is pulled back, mm: 1 direct, 2 with a tube. Common practice, no source.
func shortest(s routines.Setup, _ routines.Material) (float64, string) {
	if s.Drive == "bowden" {
		return 2, CommonPractice
	}
	return 1, CommonPractice
}

func sheetNozzle(_ routines.Setup, m routines.Material) (float64, string) {
	return m.NozzleC, OfDataSheet
}
func sheetBed(_ routines.Setup, m routines.Material) (float64, string) { return m.BedC, OfDataSheet }
func fittedBore(s routines.Setup, _ routines.Material) (float64, string) {
	return s.NozzleBoreMM, OfSetup
}

func fittedDiameter(s routines.Setup, _ routines.Material) (float64, string) {
	return s.FilamentDiameterMM, OfSetup
}

func between(least, most float64) func(routines.Setup, routines.Material) Limits {
	return func(routines.Setup, routines.Material) Limits { return Limits{least, most} }
}

// ceiling is how far a person may type that filament is pulled back, mm: as far as a ladder goes unasked.
func ceiling(s routines.Setup, _ routines.Material) Limits {
	return Limits{0, melt.CeilingMM(melt.Path{Tube: s.Drive == "bowden", FilamentMM: s.FilamentDiameterMM, ColdSideMM: s.ColdSideMM})}
}

// gearSpeed is how fast filament may be pulled back or pushed, mm/s: 20 where it is flexible (common practice, no source).
func gearSpeed(_ routines.Setup, m routines.Material) Limits {
	if m.Flexible {
		return Limits{1, 20}
	}
	return Limits{1, 200}
}

func nozzleRange(s routines.Setup, m routines.Material) Limits {
	return Limits{m.NozzleMinC, min(m.NozzleMaxC, s.NozzleCapC())}
}

func bedRange(s routines.Setup, _ routines.Material) Limits { return Limits{0, s.BedMaxC} }

// nearDiameter is what a caliper can find on filament of the size that is fitted, mm: a tenth more or less.
func nearDiameter(s routines.Setup, _ routines.Material) Limits {
	const off = 0.1
	return Limits{rounded(s.FilamentDiameterMM * (1 - off)), rounded(s.FilamentDiameterMM * (1 + off))}
}
