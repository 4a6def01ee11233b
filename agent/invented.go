package main

import (
	"fettle/routines"
	"fettle/serialio/standin"
)

// inventedPrinter is one printer of the demo: how it is fitted, and what stands in for it.
type inventedPrinter struct {
	id, name string
	cable    string // the name of its port
	setup    routines.Setup
	profile  standin.Profile
}

// demoPrinters are a direct drive whose firmware pulls back, and a tube whose slicing program does.
func demoPrinters() []inventedPrinter {
	setup := routines.Setup{Drive: "direct", FilamentDiameterMM: 1.75, NozzleBoreMM: 0.4, Liner: "all_metal", NozzleMaxC: 280,
		BedMaxC: 100, FeedMaxMMPerS: 25, BuildXMM: 220, BuildYMM: 220, BuildZMM: 200, Switch: "back, left", Retracts: "firmware"}
	tube := setup
	tube.Drive, tube.Switch, tube.Retracts = "bowden", "front, right", "slicing_program"
	tube.Tube = &routines.Tube{BoreMM: 2, LengthMM: 600, QuarterTurns: 3, CouplerPlayMM: 0.5}
	return []inventedPrinter{
		{"window", "Window", "stand-in", setup, demoProfile()},
		{"bench", "Bench", "stand-in-2", tube, demoTubeProfile()},
	}
}

// demoProfile is configured for 93.00 steps/mm where 95.876 are true, so that of 100 mm commanded 97.0 arrive. Only the
// filament shows it.
func demoProfile() standin.Profile {
	p := standin.InventedDirect()
	p.TrueStepsPerMM = 95.876
	return p
}

// demoTubeProfile feeds 98.4 of 100 mm.
func demoTubeProfile() standin.Profile {
	p := standin.InventedTube()
	p.Seed = 2 // another hand than at the first printer
	return p
}

// inventedMaterials are nobody's products; their temperatures are common practice, no source.
var inventedMaterials = []routines.Material{
	{ID: "plum-pla", Name: "Plum PLA (invented)", NozzleC: 210, NozzleMinC: 190, NozzleMaxC: 230, BedC: 60, ColourHex: "#7C5AA6", Invented: true},
	{ID: "sand-petg", Name: "Sand PETG (invented)", NozzleC: 240, NozzleMinC: 225, NozzleMaxC: 250, BedC: 80, ColourHex: "#C9B48A", Invented: true},
}

// strandOf is what a material of the demo does in the stand-in: the first keeps its shape, the second strings more. One that
// a person adds behaves as the first.
func strandOf(m routines.Material) standin.Material {
	s := standin.Stiff()
	switch {
	case m.Flexible:
		s = standin.Flexible()
	case m.ID == "sand-petg":
		s = standin.Tough()
	}
	s.Name, s.NozzleC = m.Name, m.NozzleC
	return s
}
