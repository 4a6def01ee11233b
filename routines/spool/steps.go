package spool

import (
	"fmt"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/gauge"
)

// spool is one spool being measured: what it was begun with and what was read.
type spool struct {
	*routines.Run
	in     inputs
	gauge  gauge.Instrument
	usable docket.Limits // diameters that can be of the filament which is fitted, mm
	readMM []float64     // as they count: the second reading where there are two
	again  []reread
}

// reread is a reading that was asked for twice.
type reread struct {
	Reading int     `json:"reading"`
	FirstMM float64 `json:"first_mm"`
}

// do is the procedure: read place after place, read again what looks like a slip, judge.
func do(r *routines.Run) (routines.Finding, error) {
	s, err := plan(r)
	if err != nil {
		return routines.Finding{}, err
	}
	if err := s.readAll(); err != nil {
		return routines.Finding{}, err
	}
	if err := s.readAgain(); err != nil {
		return routines.Finding{}, err
	}
	return s.conclude(), nil
}

func plan(r *routines.Run) (*spool, error) {
	in, err := routines.Inputs[inputs](r.Begin)
	if err != nil {
		return nil, err
	}
	g, ok := in.instrument()
	if !ok {
		return nil, fmt.Errorf("plan the readings: no gauge %q", in.Gauge)
	}
	typed := docket.Of("", nil, r.Setup, r.Material).Row(docket.FilamentDiameter).Typed
	return &spool{Run: r, in: in, gauge: g, usable: *typed}, nil
}

func (s *spool) readAll() error {
	for n := 1; n <= int(s.in.Readings); n++ {
		mm, err := s.ask(s.askAcross(n))
		if err != nil {
			return err
		}
		s.readMM = append(s.readMM, mm)
	}
	return nil
}

// readAgain asks once more for the readings that are far from all others, each at its place.
func (s *spool) readAgain() error {
	for _, n := range strays(s.readMM, s.floorMM()) {
		mm, err := s.ask(s.askAgain(n))
		if err != nil {
			return err
		}
		s.again = append(s.again, reread{n, s.readMM[n-1]})
		s.readMM[n-1] = mm
	}
	return nil
}

func (s *spool) ask(q routines.Question) (mm float64, err error) {
	a, err := routines.Ask[struct {
		AcrossMM float64 `json:"across_mm"`
	}](s.Run, q)
	return a.AcrossMM, err
}
