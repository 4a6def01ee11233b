package standin

import (
	"fmt"
	"math"
)

// scatter is the unsteadiness of a hand; *rand.Rand is one.
type scatter interface{ NormFloat64() float64 }

// A gauge as a person holds it: how far a reading strays, and what its scale can tell. Invented, of the usual size.
type gauge struct{ strayMM, divisionMM float64 }

func gaugeOf(name string) (gauge, error) {
	switch name {
	case "rule":
		return gauge{0.15, 0.5}, nil
	case "caliper":
		return gauge{0.02, 0.01}, nil
	}
	return gauge{}, fmt.Errorf("read with %q: known gauges are rule and caliper", name)
}

func (g gauge) read(mm float64, hand scatter) float64 {
	return math.Round((mm+g.strayMM*hand.NormFloat64())/g.divisionMM) * g.divisionMM
}

// Look is what a person sees when looking at the filament.
type Look struct {
	Gauge      string
	LeftoverMM float64 // from inlet to mark, as read; meaningless if the mark has gone in
	GoneIn     bool
	PieceMM    float64 // since the cut, as read
	Popping    bool
}

// Look reads the filament with a "rule" (half millimetres) or a "caliper" (0.02 mm). It is the demo's own answer to the
// question a person is asked, and never part of what the printer says.
func (b Bench) Look(with string) (Look, error) {
	g, err := gaugeOf(with)
	if err != nil {
		return Look{}, err
	}
	l := Look{Gauge: with}
	b.at(func(f *Firmware) {
		w := &f.world
		l.GoneIn = w.leftover() < 0
		l.LeftoverMM = max(0, g.read(w.leftover(), w.hand.scatter()))
		l.PieceMM = max(0, g.read(w.piece(), w.hand.scatter()))
		l.Popping = w.damp
	})
	return l, nil
}

// MarkBy sets a mark as a person does with a gauge: about so many mm above the inlet.
func (b Bench) MarkBy(with string, distanceMM float64) error {
	g, err := gaugeOf(with)
	if err != nil {
		return err
	}
	b.at(func(f *Firmware) {
		w := &f.world
		w.hand.markMM = w.strand.fedMM + distanceMM + g.strayMM*w.hand.scatter().NormFloat64()
	})
	return nil
}
