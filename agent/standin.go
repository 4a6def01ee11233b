package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"

	"fettle/routines/logbook"
	"fettle/serialio/standin"
)

// standIn is a stand-in printer on its cable.
type standIn struct {
	inventedPrinter
	printer *standin.Printer
	cable   *standin.Cable
	person  bystander // beside it
}

// standIns are the printers of the demo, with the person who stands beside them.
type standIns struct {
	mu     sync.Mutex // of what the persons know
	all    []*standIn
	ended  sync.WaitGroup
	failed []error // of the cables; read after ended
	unplug context.CancelFunc
}

// plugIn switches stand-in printers on and plugs them in. They live until stop, longer than the house that uses them: what
// is owed is given back at the end.
func plugIn(folder string, printers []inventedPrinter, speedup float64, book *logbook.Book) (*standIns, error) {
	ports := filepath.Join(folder, "ports")
	if err := os.MkdirAll(ports, 0o700); err != nil {
		return nil, fmt.Errorf("make a folder for the stand-ins' ports: %w", err)
	}
	s := &standIns{failed: make([]error, len(printers))}
	for _, p := range printers {
		cable, err := standin.NewCable(ports, p.cable)
		if err != nil {
			return nil, fmt.Errorf("plug the stand-in of %s in: %w", p.id, err)
		}
		s.all = append(s.all, &standIn{inventedPrinter: p, printer: standin.NewPrinter(p.profile, speedup), cable: cable})
	}
	var ctx context.Context
	ctx, s.unplug = context.WithCancel(context.Background())
	for i, one := range s.all {
		s.ended.Go(func() { s.failed[i] = one.cable.Run(ctx, one.printer) }) // ends with stop
	}
	s.ended.Go(func() { s.followAnswers(ctx, book) }) // ends with stop
	return s, nil
}

func (s *standIns) stop() error {
	s.unplug()
	s.ended.Wait()
	return errors.Join(s.failed...)
}

// ports are the names of all cables.
func (s *standIns) ports() (names []string) {
	for _, one := range s.all {
		names = append(names, one.cable.Name())
	}
	return names
}

// named is one of them, or nil.
func (s *standIns) named(id string) *standIn {
	for _, one := range s.all {
		if one.id == id {
			return one
		}
	}
	return nil
}
