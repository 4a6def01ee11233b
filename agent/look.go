package main

import (
	"context"
	"fmt"
	"strings"

	"fettle/api"
	"fettle/routines"
)

// looked is what a person sees of the stand-in's filament. It is the demo's own answer, invented, and no part of what
// the printer says.
type looked struct {
	Gauge      string  `json:"gauge"`
	LeftoverMM float64 `json:"leftover_mm"` // from the inlet to the mark, as read
	MarkWentIn bool    `json:"mark_went_in"`
	Popping    bool    `json:"popping"`
	Invented   bool    `json:"invented"`
}

// look looks at a stand-in: at its filament with a gauge of the feed check, or at the piece on its bed with an eye.
func (s *standIns) look(_ context.Context, at api.Looking) (any, error) {
	one := s.all[0]
	if at.Printer != "" {
		if one = s.named(at.Printer); one == nil {
			return nil, &routines.FieldError{Field: "printer", Detail: fmt.Sprintf("is %q", at.Printer), Accept: "a printer of the demo's own"}
		}
	}
	if e, ok := eyeNamed(at.Gauge); ok {
		s.mu.Lock()
		piece := one.piece
		s.mu.Unlock()
		return piece.look(one.printer.Bench(), one.profile.Seed, e, at.Truth), nil
	}
	return one.filament(at.Gauge)
}

func (s *standIn) filament(gauge string) (looked, error) {
	kind := gauge
	if strings.HasSuffix(gauge, "rule") {
		kind = "rule"
	}
	l, err := s.printer.Bench().Look(kind)
	if err != nil {
		return looked{}, &routines.FieldError{Field: "gauge", Detail: fmt.Sprintf("is %q", gauge), Accept: "mm_rule, half_mm_rule, caliper, eye, casual_eye"}
	}
	return looked{Gauge: gauge, LeftoverMM: l.LeftoverMM, MarkWentIn: l.GoneIn, Popping: l.Popping, Invented: true}, nil
}
