package routines_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"fettle/routines"
)

func good() routines.Setup {
	return routines.Setup{Drive: "direct", FilamentDiameterMM: 1.75, NozzleBoreMM: 0.4, Liner: "all_metal", NozzleMaxC: 280,
		BedMaxC: 100, FeedMaxMMPerS: 25, BuildXMM: 220, BuildYMM: 220, BuildZMM: 200}
}

func TestSetupNamesTheFieldThatCannotBe(t *testing.T) {
	geared := good()
	geared.Gear = &routines.Gear{StepsPerRev: 400, Microsteps: 256, Ratio: 7.5, EffectiveDiameterMM: 12}
	geared.Before, geared.After = []string{"G28", "M420 S1", "G29"}, []string{"G1 X0 Y200 F6000", "M107"}
	if err := errors.Join(good().Validate(), geared.Validate()); err != nil {
		t.Fatal(err)
	}
	for field, spoil := range map[string]func(*routines.Setup){
		"drive":                func(s *routines.Setup) { s.Drive = "belt" },
		"liner":                func(s *routines.Setup) { s.Liner = "" },
		"filament_diameter_mm": func(s *routines.Setup) { s.FilamentDiameterMM = math.NaN() },
		"nozzle_max_c":         func(s *routines.Setup) { s.NozzleMaxC = 400 },
		"build_z_mm":           func(s *routines.Setup) { s.BuildZMM = -1 },
		"tube.bore_mm":         func(s *routines.Setup) { s.Tube = &routines.Tube{BoreMM: 1.5, LengthMM: 600} },
		"gear.steps_per_rev":   func(s *routines.Setup) { s.Gear = &routines.Gear{Microsteps: 16, Ratio: 1, EffectiveDiameterMM: 11} },
		"gear.microsteps":      func(s *routines.Setup) { s.Gear = &routines.Gear{StepsPerRev: 200, Ratio: -1, EffectiveDiameterMM: 11} },
		"gear.ratio": func(s *routines.Setup) {
			s.Gear = &routines.Gear{StepsPerRev: 200, Microsteps: 16, Ratio: -1, EffectiveDiameterMM: 11}
		},
		"before[1]":     func(s *routines.Setup) { s.Before = []string{"G28", "M109 S200"} },
		"after[0]":      func(s *routines.Setup) { s.After = []string{"M84 ; and G28"[:3]} },
		"after":         func(s *routines.Setup) { s.After = make([]string, 25) },
		"cold_side_mm":  func(s *routines.Setup) { s.ColdSideMM = -1 },
		"cold_side_mm ": func(s *routines.Setup) { s.ColdSideMM = 0.2 },
		"retracts":      func(s *routines.Setup) { s.Retracts = "both" },
		"gear.effective_diameter_mm": func(s *routines.Setup) {
			s.Gear = &routines.Gear{StepsPerRev: 200, Microsteps: 16, Ratio: 1, EffectiveDiameterMM: math.Inf(1)}
		},
	} {
		s := good()
		spoil(&s)
		var refused *routines.FieldError
		if err := s.Validate(); !errors.As(err, &refused) || refused.Field != strings.TrimSpace(field) {
			t.Errorf("%s: got %v", field, err)
		}
	}
}

// A liner that nobody has spoken for keeps the nozzle at 240 °C, or at the maker's lower figure (common practice, no source).
func TestUnknownLinerKeepsTheNozzleCooler(t *testing.T) {
	for _, c := range []struct {
		liner     string
		max, want float64
	}{{"all_metal", 280, 280}, {"unknown", 280, 240}, {"fluoropolymer", 280, 240}, {"unknown", 230, 230}} {
		s := good()
		s.Liner, s.NozzleMaxC = c.liner, c.max
		if got := s.NozzleCapC(); got != c.want {
			t.Errorf("%s, %g °C by the maker: %g, want %g", c.liner, c.max, got, c.want)
		}
	}
}

// Cross-sections by plane geometry: 2.405 mm² at 1.75 mm, 6.379 mm² at 2.85 mm.
func TestFilamentArea(t *testing.T) {
	for d, want := range map[float64]float64{1.75: 2.405, 2.85: 6.379} {
		if got := (routines.Setup{FilamentDiameterMM: d}).FilamentAreaMM2(); math.Abs(got-want) > 0.001 {
			t.Errorf("%g mm: %g mm², want %g", d, got, want)
		}
	}
}

func TestMaterialNamesTheFieldThatCannotBe(t *testing.T) {
	m := routines.Material{ID: "plum-pla", Name: "Plum PLA (invented)", NozzleC: 210, NozzleMinC: 190, NozzleMaxC: 230, BedC: 60}
	if err := m.Validate(); err != nil {
		t.Fatal(err)
	}
	m.NozzleC = 250
	var refused *routines.FieldError
	if err := m.Validate(); !errors.As(err, &refused) || refused.Field != "nozzle_c" {
		t.Errorf("got %v", err)
	}
}
