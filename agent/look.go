package main

import (
	"context"
	"fmt"
	"strings"

	"fettle/api"
	"fettle/routines"
	"fettle/routines/gauge"
	"fettle/serialio/standin"
)

// looked is what a person sees of the stand-in's filament, named as the questions name it. It is the demo's own answer,
// invented, and no part of what the printer says.
type looked struct {
	Gauge      string   `json:"gauge"`
	LeftoverMM float64  `json:"leftover_mm"`         // from the inlet to the mark, or to the far flag, as read
	MarkWentIn bool     `json:"mark_went_in"`        // or the far flag
	NearMM     *float64 `json:"near_mm,omitempty"`   // from the inlet to the near flag, while it is outside
	FlagsMM    *float64 `json:"flags_mm,omitempty"`  // from flag to flag
	PieceMM    *float64 `json:"piece_mm,omitempty"`  // of what came out since it was cut flush
	AcrossMM   *float64 `json:"across_mm,omitempty"` // of the filament, at the place last asked about
	Popping    bool     `json:"popping"`
	Invented   bool     `json:"invented"`
}

// look looks at a stand-in: at its filament with a gauge of the feed check, or at the piece on its bed with an eye.
func (s *standIns) look(_ context.Context, at api.Looking) (any, error) {
	one := s.all[0]
	if at.Printer != "" {
		if one = s.named(at.Printer); one == nil {
			return nil, &routines.FieldError{Field: "printer", Detail: fmt.Sprintf("is %q", at.Printer), Accept: "a printer of the demo's own"}
		}
	}
	s.mu.Lock()
	person := one.person
	s.mu.Unlock()
	if e, ok := eyeNamed(at.Gauge); ok {
		return person.piece.look(one.printer.Bench(), one.profile.Seed, e, at.Truth), nil
	}
	g, err := person.strand.gaugeNamed(at.Gauge)
	if err != nil {
		return nil, err
	}
	return person.strand.look(one.printer.Bench(), g), nil
}

// gaugeNamed is a gauge by its name, or a refusal that names all there are.
func (h strandHeld) gaugeNamed(name string) (gauge.Instrument, error) {
	if name == gauge.OwnName && h.own != nil {
		return *h.own, nil
	}
	if g, ok := gauge.Named(name); ok {
		return g, nil
	}
	accept := []string{"eye", "casual_eye", "own in a run that was begun with one"}
	for _, g := range gauge.Instruments() {
		accept = append(accept, g.Name)
	}
	return gauge.Instrument{}, &routines.FieldError{Field: "gauge", Detail: fmt.Sprintf("is %q", name), Accept: strings.Join(accept, ", ")}
}

// farMM is about as long as what is read along the filament, and thinMM as what is read across it.
const (
	farMM  = 120
	thinMM = 2
)

// look reads all that can be read of the filament now.
func (h strandHeld) look(bench standin.Bench, g gauge.Instrument) looked {
	l := bench.Look(heldTo(g, farMM))
	out := looked{Gauge: g.Name, LeftoverMM: l.LeftoverMM, MarkWentIn: l.GoneIn, NearMM: l.NearMM, FlagsMM: l.FlagsMM,
		PieceMM: l.PieceMM, Popping: l.Popping, Invented: true}
	if h.place > 0 {
		across := bench.LookAcross(heldTo(g, thinMM), h.place, h.square)
		out.AcrossMM = &across
	}
	return out
}

// heldTo is a gauge as the stand-in's person holds it to a length.
func heldTo(g gauge.Instrument, mm float64) standin.Gauge {
	return standin.Gauge{DivisionMM: g.DivisionMM, LimitMM: g.LimitMM(mm)}
}
