package ladder

import (
	"errors"
	"fmt"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/melt"
	"fettle/routines/piece"
	"fettle/serialio/gcode"
)

// inputs are what a person chooses for a ladder. What is absent is as the docket has it, or usual.
type inputs struct {
	PrintMMPerS      *float64 `json:"print_mm_per_s"`
	NozzleC          *float64 `json:"nozzle_c"`
	BedC             *float64 `json:"bed_c"`
	FanPercent       *float64 `json:"fan_percent"`
	LongestMM        float64  `json:"longest_travel_mm"`
	PastCeilingMM    *float64 `json:"past_ceiling_mm"`
	WithoutFeedCheck bool     `json:"without_feed_check"`
	DampAnyway       bool     `json:"damp_anyway"`
	Afresh           bool     `json:"afresh"`
}

func commonFields() []routines.Field {
	number := func(name, label, unit string, low, high, step float64, usual any) routines.Field {
		return routines.Field{Name: name, Label: label, Kind: routines.Number, Unit: unit, Min: routines.Limit(low), Max: routines.Limit(high), Step: step,
			Default: usual, Optional: usual == nil}
	}
	yes := func(name, label string) routines.Field {
		return routines.Field{Name: name, Label: label, Kind: routines.Yes, Default: false}
	}
	return []routines.Field{
		number("print_mm_per_s", "Speed of printing", "mm/s", 2, 150, 1, nil),
		number("nozzle_c", "Nozzle temperature", "°C", 100, 350, 1, nil),
		number("bed_c", "Bed temperature", "°C", 0, 150, 1, nil),
		number("fan_percent", "Part fan", "%", 0, 100, 5, nil),
		yes("without_feed_check", "Go on without a fresh feed check"),
		yes("damp_anyway", "Go on although the strand popped"),
		yes("afresh", "Forget the pieces judged before"),
	}
}

// Longest usual travels of a person's own prints, mm; 60 where nobody says (common practice, no source).
func travelFields() []routines.Field {
	return append(commonFields(), routines.Field{Name: "longest_travel_mm", Label: "Longest usual travel", Kind: routines.Number, Unit: "mm",
		Min: routines.Limit(10), Max: routines.Limit(500), Step: 5, Default: 60.0})
}

// pastCeiling is the label of the override: it carries its warning.
const pastCeiling = "Ceiling beyond the usual one. Warning: heat creeps up and the nozzle may clog; listen for clicks, and stop at the first"

func lengthFields() []routines.Field {
	return append(commonFields(), routines.Field{Name: "past_ceiling_mm", Label: pastCeiling, Kind: routines.Number, Unit: "mm",
		Min: routines.Limit(0.5), Max: routines.Limit(12), Step: 0.25, Optional: true})
}

// mostPast is how far an override may lift a ceiling, mm (common practice, no source).
const mostPast = 2.0

// check refuses a ladder that would measure something else, or in vain. Each refusal names the field by which it is
// overridden, and an override is on record with the run's inputs.
func check(b routines.Begin, kind piece.Variable) error {
	in, err := routines.Inputs[inputs](b)
	if err != nil {
		return err
	}
	d := docketOf(b)
	if proved, why := docket.FeedProved(d); !proved && !in.WithoutFeedCheck {
		return &routines.FieldError{Field: "without_feed_check", Detail: "is not given, and the lengths of this printer are in doubt: " + why, Accept: "a feed check first, or true"}
	}
	if popped(b) && !in.DampAnyway {
		return &routines.FieldError{Field: "damp_anyway", Detail: "is not given, and the strand popped at the last feed: damp filament strings whatever the length", Accept: "dry filament and a feed check, or true"}
	}
	for _, holds := range []error{heldSo(b, in, kind), ceilingSo(b, in)} {
		if holds != nil {
			return holds
		}
	}
	return fits(b, in, kind)
}

// fits tries the piece on the printer's room, with speeds that any printer has.
func fits(b routines.Begin, in inputs, kind piece.Variable) error {
	l := &ladder{Run: &routines.Run{Begin: b}, in: in, kind: kind, docket: docketOf(b), limits: reportedOf(gcode.Settings{})}
	l.held = heldOf(b, in, l.docket)
	values := make([]float64, piece.Bands)
	for i := range values {
		values[i] = l.held.RetractMM
		if kind == piece.Travel {
			values[i] = slowestMMPerS
		}
	}
	var fit *piece.FitError
	if _, err := piece.Plan(l.spec(values)); errors.As(err, &fit) {
		return &routines.FieldError{Field: "setup", Detail: "does not take a piece: " + fit.What + " " + fit.Why, Accept: fit.Accept}
	}
	return nil
}

// heldSo refuses to change a second variable in the middle of a ladder.
func heldSo(b routines.Begin, in inputs, kind piece.Variable) error {
	now := heldOf(b, in, docketOf(b))
	if now.NozzleC > b.Material.NozzleMaxC || now.NozzleC < b.Material.NozzleMinC {
		return &routines.FieldError{Field: "nozzle_c", Detail: fmt.Sprintf("is %g", now.NozzleC), Accept: fmt.Sprintf("%g to %g °C, by the maker's data sheet", b.Material.NozzleMinC, b.Material.NozzleMaxC)}
	}
	if now.BedC > b.Setup.BedMaxC {
		return &routines.FieldError{Field: "bed_c", Detail: fmt.Sprintf("is %g", now.BedC), Accept: fmt.Sprintf("0 to %g °C", b.Setup.BedMaxC)}
	}
	if fastest := now.fastestMMPerS(); now.PrintMMPerS > fastest {
		return &routines.FieldError{Field: "print_mm_per_s", Detail: fmt.Sprintf("is %g, which is %.3g mm³/s", now.PrintMMPerS, now.flowMM3PerS()), Accept: fmt.Sprintf("at most %g mm/s, by the flow limit of %g mm³/s", fastest, now.MostMM3PerS)}
	}
	if before, ok := pastOf(b, in, kind).held(); ok {
		if what := before.differs(now, kind); what != "" {
			return &routines.FieldError{Field: "afresh", Detail: "is not given, and two variables would change at once: " + what, Accept: "the same as before, or true to begin anew"}
		}
	}
	return nil
}

// ceilingSo holds an override of the ceiling to what may be overridden.
func ceilingSo(b routines.Begin, in inputs) error {
	if in.PastCeilingMM == nil {
		return nil
	}
	start := startOf(b)
	if past := *in.PastCeilingMM; past <= start.CeilingMM || past > start.CeilingMM+mostPast {
		return &routines.FieldError{Field: "past_ceiling_mm", Detail: fmt.Sprintf("is %g", past), Accept: fmt.Sprintf("above %g, the usual ceiling, to %g mm", start.CeilingMM, start.CeilingMM+mostPast)}
	}
	if side := b.Setup.ColdSideMM; side > 0 && *in.PastCeilingMM > side-melt.ColdMarginMM {
		return &routines.FieldError{Field: "past_ceiling_mm", Detail: fmt.Sprintf("is %g, and the cold side is %g mm from the nozzle's tip", *in.PastCeilingMM, side), Accept: fmt.Sprintf("at most %g mm", side-melt.ColdMarginMM)}
	}
	return nil
}

// startOf is where the search begins on this printer with this material.
func startOf(b routines.Begin) melt.Start {
	p := melt.Path{Tube: b.Setup.Drive == "bowden", FilamentMM: b.Setup.FilamentDiameterMM, ColdSideMM: b.Setup.ColdSideMM,
		ModulusMPa: b.Material.ModulusMPa, Flexible: b.Material.Flexible}
	if t := b.Setup.Tube; t != nil {
		p.BoreMM, p.OuterMM, p.LengthMM, p.QuarterTurns, p.CouplerPlayMM = t.BoreMM, t.OuterMM, t.LengthMM, t.QuarterTurns, t.CouplerPlayMM
	}
	return melt.StartOf(p)
}
