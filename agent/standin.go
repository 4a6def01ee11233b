package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/serialio/standin"
)

// demoProfile is the demo's printer: configured for 93.00 steps/mm where 95.876 are true, so that of 100 mm commanded
// 97.0 arrive. Only the filament shows it.
func demoProfile() standin.Profile {
	p := standin.Invented()
	p.TrueStepsPerMM = 95.876
	return p
}

// standIn is a stand-in printer on its cable, with the person who stands beside it.
type standIn struct {
	printer *standin.Printer
	cable   *standin.Cable
	ended   sync.WaitGroup
	failed  error // of the cable; read after ended
	unplug  context.CancelFunc
}

// plugIn switches a stand-in printer on and plugs it in. It lives until stop, longer than the house that uses it: what
// is owed is given back at the end.
func plugIn(folder string, profile standin.Profile, speedup float64, book *logbook.Book) (*standIn, error) {
	ports := filepath.Join(folder, "ports")
	if err := os.MkdirAll(ports, 0o700); err != nil {
		return nil, fmt.Errorf("make a folder for the stand-in's port: %w", err)
	}
	s := &standIn{printer: standin.NewPrinter(profile, speedup)}
	var err error
	if s.cable, err = standin.NewCable(ports, "stand-in"); err != nil {
		return nil, fmt.Errorf("plug the stand-in in: %w", err)
	}
	var ctx context.Context
	ctx, s.unplug = context.WithCancel(context.Background())
	s.ended.Go(func() { s.failed = s.cable.Run(ctx, s.printer) }) // ends with stop
	s.ended.Go(func() { s.mark(ctx, book) })                      // ends with stop
	return s, nil
}

func (s *standIn) stop() error {
	s.unplug()
	s.ended.Wait()
	return s.failed
}

// mark does with the filament what the person has answered to have done: whoever says that the mark is set 120 mm above
// the inlet has set it there.
func (s *standIn) mark(ctx context.Context, book *logbook.Book) {
	after := book.Last()
	for {
		news := book.Changed()
		events, err := book.Events(ctx, logbook.Filter{After: after})
		for _, e := range events {
			after = e.Seq
			if e.Kind == string(routines.Answered) {
				s.markAsAnswered(e.Body)
			}
		}
		if err != nil || ctx.Err() != nil {
			return
		}
		select {
		case <-ctx.Done():
			return
		case <-news:
		}
	}
}

func (s *standIn) markAsAnswered(body json.RawMessage) {
	var answer struct {
		MarkMM *float64 `json:"mark_mm"`
	}
	if json.Unmarshal(body, &answer) == nil && answer.MarkMM != nil {
		s.printer.Bench().Mark(*answer.MarkMM)
	}
}

// looked is what a person sees of the stand-in's filament. It is the demo's own answer, invented, and no part of what
// the printer says.
type looked struct {
	Gauge      string  `json:"gauge"`
	LeftoverMM float64 `json:"leftover_mm"` // from the inlet to the mark, as read
	MarkWentIn bool    `json:"mark_went_in"`
	Popping    bool    `json:"popping"`
	Invented   bool    `json:"invented"`
}

// look reads the filament with a gauge of the feed check.
func (s *standIn) look(_ context.Context, gauge string) (any, error) {
	kind := gauge
	if strings.HasSuffix(gauge, "rule") {
		kind = "rule"
	}
	l, err := s.printer.Bench().Look(kind)
	if err != nil {
		return nil, &routines.FieldError{Field: "gauge", Detail: fmt.Sprintf("is %q", gauge), Accept: "mm_rule, half_mm_rule, caliper"}
	}
	return looked{Gauge: gauge, LeftoverMM: l.LeftoverMM, MarkWentIn: l.GoneIn, Popping: l.Popping, Invented: true}, nil
}
