package feed

import (
	"cmp"
	"fmt"
	"math"

	"fettle/routines"
)

// checkInputs holds the inputs against each other, the setup and the material.
func checkInputs(b routines.Begin) error {
	in, err := routines.Inputs[inputs](b)
	if err != nil {
		return err
	}
	if err := cmp.Or(whole("passes", in.Passes, "1 to 5"), whole("lengths", in.Lengths, "3 to 8")); err != nil {
		return err
	}
	if b.Setup.FilamentDiameterMM <= 0 {
		return &routines.FieldError{Field: "filament_diameter_mm", Detail: "is missing in the setup", Accept: "the diameter of the filament, mm"}
	}
	if err := cmp.Or(checkMethod(in, b.Setup), checkOwn(in), checkLength(in)); err != nil {
		return err
	}
	if err := checkNozzle(in, b); err != nil {
		return err
	}
	return checkSpeed(in, b.Setup)
}

// whole holds a number of things to whole ones.
func whole(field string, x float64, accept string) error {
	if x == math.Trunc(x) {
		return nil
	}
	return &routines.FieldError{Field: field, Detail: fmt.Sprintf("is %g, which is no whole number", x), Accept: accept}
}

// checkLength keeps the gauge within what it is good for, and the mark on it with 30 mm to hold it by.
func checkLength(in inputs) error {
	if g, known := in.instrument(); known && in.RuleMM > g.LongestMM {
		return &routines.FieldError{Field: "rule_mm",
			Detail: fmt.Sprintf("is %s: a %s keeps its limits up to %s", number(in.RuleMM), g.Label, unit(g.LongestMM, "mm")),
			Accept: fmt.Sprintf("%d to %s", leastRuleMM, unit(g.LongestMM, "mm"))}
	}
	m, _ := methodOf(in.Method)
	most, what := m.longest(in)
	if in.CommandedMM <= most {
		return nil
	}
	return &routines.FieldError{Field: "commanded_mm",
		Detail: fmt.Sprintf("is %s: %s", number(in.CommandedMM), what),
		Accept: fmt.Sprintf("%d to %s", leastCommandedMM, unit(math.Floor(most), "mm"))}
}

func checkNozzle(in inputs, b routines.Begin) error {
	c := nozzleC(in, b.Material)
	least, most, rules := nozzleRange(b)
	refuse := func(why string) error {
		return &routines.FieldError{Field: "nozzle_c", Detail: fmt.Sprintf("is %s: %s", number(c), why),
			Accept: fmt.Sprintf("%s to %s", number(least), unit(most, "°C"))}
	}
	switch {
	case c > most:
		return refuse("above " + rules)
	case c < least:
		return refuse(fmt.Sprintf("below the %s from which %s flows by its data sheet", unit(least, "°C"), b.Material.Name))
	}
	return nil
}

// nozzleRange is what material and setup allow together, °C, and which limit rules at the top.
func nozzleRange(b routines.Begin) (least, most float64, rules string) {
	most, whose := b.Setup.NozzleCapC(), "of the printer's maker"
	if most < b.Setup.NozzleMaxC {
		whose = "that hold while a fluoropolymer liner may reach the heated part"
	}
	if m := b.Material.NozzleMaxC; m > 0 && m < most {
		most, whose = m, "of the material's data sheet"
	}
	return b.Material.NozzleMinC, most, fmt.Sprintf("the %s %s", unit(most, "°C"), whose)
}

func checkSpeed(in inputs, s routines.Setup) error {
	speed := SpeedMMPerS(in.FlowMM3PerS, s.FilamentAreaMM2())
	if speed <= s.FeedMaxMMPerS {
		return nil
	}
	return &routines.FieldError{Field: "flow_mm3_per_s",
		Detail: fmt.Sprintf("is %s, which is %s of filament: above the setup's %s", number(in.FlowMM3PerS), unit(speed, "mm/s"),
			unit(s.FeedMaxMMPerS, "mm/s")),
		Accept: fmt.Sprintf("at most %s", unit(math.Floor(100*s.FeedMaxMMPerS*s.FilamentAreaMM2())/100, "mm³/s"))}
}

// nozzleC is the temperature chosen, or the material's usual one, °C.
func nozzleC(in inputs, m routines.Material) float64 {
	if in.NozzleC != nil {
		return *in.NozzleC
	}
	return m.NozzleC
}
