package routines

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
)

// Setup is what a printer is fitted with and what it may be asked to do. A change makes a new version.
type Setup struct {
	Version            int64   `json:"version"`
	Drive              string  `json:"drive"` // "direct" or "bowden"
	FilamentDiameterMM float64 `json:"filament_diameter_mm"`
	NozzleBoreMM       float64 `json:"nozzle_bore_mm"`
	Tube               *Tube   `json:"tube,omitempty"`
	Gear               *Gear   `json:"gear,omitempty"`
	Liner              string  `json:"liner"`        // "unknown", "all_metal" or "fluoropolymer": what reaches the heated part
	NozzleMaxC         float64 `json:"nozzle_max_c"` // by the maker's manual
	BedMaxC            float64 `json:"bed_max_c"`
	FeedMaxMMPerS      float64 `json:"feed_max_mm_per_s"` // filament, at the gear
	BuildXMM           float64 `json:"build_x_mm"`
	BuildYMM           float64 `json:"build_y_mm"`
	BuildZMM           float64 `json:"build_z_mm"`
	Switch             string  `json:"switch,omitempty"` // where the mains switch is: "back, left"

	Before     []string `json:"before,omitempty"`       // the printer's own lines before a print: homing of all axes, its stored bed compensation; none: G28
	After      []string `json:"after,omitempty"`        // and behind it, with the piece on the bed: no Z is homed, nothing probed
	ColdSideMM float64  `json:"cold_side_mm,omitempty"` // from the nozzle's tip to where filament stays cold; 0: not measured
	Retracts   string   `json:"retracts,omitempty"`     // "firmware" or "slicing_program": who pulls back in the person's own prints; "": not said
}

// Tube is the guide of a Bowden drive.
type Tube struct {
	BoreMM        float64 `json:"bore_mm"`
	LengthMM      float64 `json:"length_mm"`
	QuarterTurns  float64 `json:"quarter_turns"`
	CouplerPlayMM float64 `json:"coupler_play_mm"`
	OuterMM       float64 `json:"outer_mm,omitempty"` // above the bore; 0: twice the bore
}

// Gear is what the expected steps/mm follows from.
type Gear struct {
	StepsPerRev         float64 `json:"steps_per_rev"`
	Microsteps          float64 `json:"microsteps"`
	Ratio               float64 `json:"ratio"`
	EffectiveDiameterMM float64 `json:"effective_diameter_mm"`
}

// linerUnknownCapC is the highest nozzle temperature while nobody has said that no fluoropolymer reaches the heated
// part: it gives off toxic fumes when overheated (common practice, no source; the maker's lower figure comes first).
const linerUnknownCapC = 240

// NozzleCapC is the highest nozzle temperature this setup allows, °C.
func (s Setup) NozzleCapC() float64 {
	if s.Liner != "all_metal" {
		return math.Min(s.NozzleMaxC, linerUnknownCapC)
	}
	return s.NozzleMaxC
}

// FilamentAreaMM2 is the cross-section of the filament, mm².
func (s Setup) FilamentAreaMM2() float64 {
	return math.Pi * s.FilamentDiameterMM * s.FilamentDiameterMM / 4
}

// Material is a filament with the temperatures its maker's data sheet gives.
type Material struct {
	ID         string  `json:"id"`
	Name       string  `json:"name"`
	NozzleC    float64 `json:"nozzle_c"`     // usual working temperature
	NozzleMinC float64 `json:"nozzle_min_c"` // range by the maker's data sheet
	NozzleMaxC float64 `json:"nozzle_max_c"`
	BedC       float64 `json:"bed_c"`
	Flexible   bool    `json:"flexible"`
	ModulusMPa float64 `json:"modulus_mpa,omitempty"` // stiffness by the data sheet; 0: as a usual stiff filament
	ColourHex  string  `json:"colour_hex,omitempty"`  // "#7C5AA6": how the page draws it
	Invented   bool    `json:"invented,omitempty"`    // demo data of our own, nobody's product
}

// Validate refuses a setup that cannot be, and names the field.
func (s Setup) Validate() error {
	within := func(name string, v, low, high float64, unit string) error {
		if v >= low && v <= high {
			return nil
		}
		return &FieldError{Field: name, Detail: fmt.Sprintf("is %g", v), Accept: fmt.Sprintf("%g to %g %s", low, high, unit)}
	}
	oneOf := func(name, v string, known ...string) error {
		if slices.Contains(known, v) {
			return nil
		}
		return &FieldError{Field: name, Detail: fmt.Sprintf("is %q", v), Accept: strings.Join(known, ", ")}
	}
	return cmp.Or(
		oneOf("drive", s.Drive, "direct", "bowden"),
		oneOf("liner", s.Liner, "unknown", "all_metal", "fluoropolymer"),
		within("filament_diameter_mm", s.FilamentDiameterMM, 1, 3.2, "mm"),
		within("nozzle_bore_mm", s.NozzleBoreMM, 0.1, 2, "mm"),
		within("nozzle_max_c", s.NozzleMaxC, 150, 350, "°C, by the maker's manual"),
		within("bed_max_c", s.BedMaxC, 0, 150, "°C, by the maker's manual"),
		within("feed_max_mm_per_s", s.FeedMaxMMPerS, 0.5, 100, "mm/s"),
		within("build_x_mm", s.BuildXMM, 50, 2000, "mm"),
		within("build_y_mm", s.BuildYMM, 50, 2000, "mm"),
		within("build_z_mm", s.BuildZMM, 50, 2000, "mm"),
		s.validateTube(within),
		s.validateGear(within),
		s.validateColdSide(within),
		oneOf("retracts", s.Retracts, "", "firmware", "slicing_program"),
		linesBefore(s.Before),
		linesAfter(s.After),
	)
}

// validateColdSide takes nothing shorter than what is hot in any nozzle (common practice, no source).
func (s Setup) validateColdSide(within func(string, float64, float64, float64, string) error) error {
	if s.ColdSideMM == 0 {
		return nil
	}
	return within("cold_side_mm", s.ColdSideMM, 1, 60, "mm, 0 where it was not measured")
}

func (s Setup) validateTube(within func(string, float64, float64, float64, string) error) error {
	if s.Tube == nil {
		return nil
	}
	outer := within("tube.outer_mm", s.Tube.OuterMM, 0, 12, "mm, 0 where it was not measured")
	if o := s.Tube.OuterMM; outer == nil && o != 0 && o <= s.Tube.BoreMM {
		outer = &FieldError{Field: "tube.outer_mm", Detail: fmt.Sprintf("is %g, which leaves no wall", o), Accept: fmt.Sprintf("above %g, the bore, to 12 mm; 0 where it was not measured", s.Tube.BoreMM)}
	}
	return cmp.Or(
		within("tube.bore_mm", s.Tube.BoreMM, s.FilamentDiameterMM, 6, "mm, wider than the filament"),
		within("tube.length_mm", s.Tube.LengthMM, 10, 5000, "mm"),
		within("tube.quarter_turns", s.Tube.QuarterTurns, 0, 40, "quarter turns, all added"),
		within("tube.coupler_play_mm", s.Tube.CouplerPlayMM, 0, 5, "mm"),
		outer,
	)
}

// validateGear holds the gear to what is built: motors of 1.8° or less a step, drivers of up to 256 microsteps, trains of
// gears either way (common practice, no source; the bounds are wider).
func (s Setup) validateGear(within func(string, float64, float64, float64, string) error) error {
	if s.Gear == nil {
		return nil
	}
	return cmp.Or(
		within("gear.steps_per_rev", s.Gear.StepsPerRev, 1, 10_000, "full steps of the motor in one turn"),
		within("gear.microsteps", s.Gear.Microsteps, 1, 1024, "microsteps in a step"),
		within("gear.ratio", s.Gear.Ratio, 0.01, 100, "turns of the motor for one of the gear"),
		within("gear.effective_diameter_mm", s.Gear.EffectiveDiameterMM, 1, 50, "mm, where it bites"),
	)
}

// Validate refuses a material that cannot be, and names the field.
func (m Material) Validate() error {
	switch {
	case !idPattern.MatchString(m.ID):
		return &FieldError{Field: "id", Detail: fmt.Sprintf("is %q", m.ID), Accept: "small letters, digits and hyphens, at most 40"}
	case m.Name == "" || len(m.Name) > 80:
		return &FieldError{Field: "name", Detail: "is empty or too long", Accept: "1 to 80 bytes"}
	case m.NozzleMinC < 100 || m.NozzleMaxC > 350 || m.NozzleMinC > m.NozzleMaxC:
		return &FieldError{Field: "nozzle_min_c", Detail: "is no range with nozzle_max_c", Accept: "100 to 350 °C, by the maker's data sheet"}
	case m.NozzleC < m.NozzleMinC || m.NozzleC > m.NozzleMaxC:
		return &FieldError{Field: "nozzle_c", Detail: fmt.Sprintf("is %g", m.NozzleC), Accept: fmt.Sprintf("%g to %g °C", m.NozzleMinC, m.NozzleMaxC)}
	case m.BedC < 0 || m.BedC > 150:
		return &FieldError{Field: "bed_c", Detail: fmt.Sprintf("is %g", m.BedC), Accept: "0 to 150 °C"}
	case !(m.ModulusMPa >= 0 && m.ModulusMPa <= 20_000):
		return &FieldError{Field: "modulus_mpa", Detail: fmt.Sprintf("is %g", m.ModulusMPa), Accept: "1 to 20000 MPa by the data sheet, 0 where it is not known"}
	case m.ColourHex != "" && !colourPattern.MatchString(m.ColourHex):
		return &FieldError{Field: "colour_hex", Detail: fmt.Sprintf("is %q", m.ColourHex), Accept: "# and six hexadecimal digits"}
	}
	return nil
}

var (
	idPattern     = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,39}$`)
	colourPattern = regexp.MustCompile(`^#[0-9A-Fa-f]{6}$`)
)
