package spool

import (
	"cmp"
	"fmt"
	"math"

	"fettle/routines"
	"fettle/routines/gauge"
)

// inputs are what a person chooses before the first reading.
type inputs struct {
	Gauge         string   `json:"gauge"`
	Readings      float64  `json:"readings"`
	OwnDivisionMM *float64 `json:"own_division_mm"`
	OwnLimitMM    *float64 `json:"own_limit_mm"`
	Spool         string   `json:"spool"` // what stands on it, as its owner tells it from others
}

// Two places show next to nothing of a spool; ten are 20 readings, and more patience than anyone has. Ten readings over 2 m
// are usual. Common practice, no source.
const (
	fewestReadings = 4
	mostReadings   = 20
	usualReadings  = 10
)

// coarsestMM is the coarsest division that tells one filament from another: it is 6 % of the usual size. Common practice, no
// source.
const coarsestMM = 0.1

func inputFields() []routines.Field {
	return []routines.Field{
		{Name: "gauge", Label: "What you measure with", Kind: routines.Choice, Choices: calipers(), Default: "digital_caliper"},
		{Name: "readings", Label: "Readings, two at each place", Kind: routines.Number,
			Min: routines.Limit(fewestReadings), Max: routines.Limit(mostReadings), Step: 2, Default: float64(usualReadings)},
		{Name: "own_division_mm", Label: "Smallest division of a gauge of your own", Kind: routines.Number, Unit: "mm",
			Min: routines.Limit(0.001), Max: routines.Limit(coarsestMM), Step: 0.001, Optional: true,
			OutOf: "nothing coarser tells one filament from another"},
		{Name: "own_limit_mm", Label: "How far it may be off", Kind: routines.Number, Unit: "mm",
			Min: routines.Limit(0), Max: routines.Limit(0.5), Step: 0.01, Optional: true},
		{Name: "spool", Label: "What stands on the spool", Kind: routines.Text, Optional: true},
	}
}

// calipers are the instruments that close on a filament: those without the accuracy class of a rule.
func calipers() []routines.Option {
	var out []routines.Option
	for _, g := range gauge.Instruments() {
		if g.Class == "" {
			out = append(out, routines.Option{Value: g.Name, Label: g.Label})
		}
	}
	return append(out, routines.Option{Value: gauge.OwnName, Label: "a gauge of your own"})
}

// instrument is the gauge that the inputs name, or false.
func (in inputs) instrument() (gauge.Instrument, bool) {
	if in.Gauge != gauge.OwnName {
		return gauge.Named(in.Gauge)
	}
	if in.OwnDivisionMM == nil || in.OwnLimitMM == nil {
		return gauge.Instrument{}, false
	}
	return gauge.Own(*in.OwnDivisionMM, *in.OwnLimitMM), true
}

func checkInputs(b routines.Begin) error {
	in, err := routines.Inputs[inputs](b)
	if err != nil {
		return err
	}
	if b.Setup.FilamentDiameterMM <= 0 {
		return &routines.FieldError{Field: "filament_diameter_mm", Detail: "is missing in the setup", Accept: "the diameter that the printer is fitted for, mm"}
	}
	return cmp.Or(in.inPairs(), in.own("own_division_mm", in.OwnDivisionMM), in.own("own_limit_mm", in.OwnLimitMM))
}

// inPairs wants two readings for each place.
func (in inputs) inPairs() error {
	if math.Mod(in.Readings, 2) == 0 {
		return nil
	}
	return &routines.FieldError{Field: "readings", Detail: fmt.Sprintf("is %g: each place is read one way and then square to it", in.Readings),
		Accept: fmt.Sprintf("an even number, %d to %d", fewestReadings, mostReadings)}
}

// own wants a gauge of one's own described, and nothing described that is not used.
func (in inputs) own(field string, given *float64) error {
	switch isOwn := in.Gauge == gauge.OwnName; {
	case isOwn && given == nil:
		return &routines.FieldError{Field: field, Detail: "is missing: a gauge of your own has one", Accept: "a number of mm"}
	case !isOwn && given != nil:
		return &routines.FieldError{Field: field, Detail: "is given for another gauge", Accept: "gauge \"own\" with it, or neither"}
	}
	return nil
}
