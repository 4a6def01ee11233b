package machine

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"fettle/serialio/gcode"
)

// What a bed may do, in printer time. A bed is heavy: it rises by a tenth of a degree a second, and swings little (common
// practice, no source).
const (
	bedRiseC     = 3.0
	bedRiseIn    = 4 * time.Minute
	bedSlowest   = 30 * time.Minute
	bedSettledC  = 3.0
	bedNoReading = time.Minute
)

// A BedError says what was wrong with the heat of the bed, °C.
type BedError struct {
	Why           string
	BedC, TargetC float64
}

func (e *BedError) Error() string {
	return fmt.Sprintf("%s (bed %.1f °C, target %.1f °C)", e.Why, e.BedC, e.TargetC)
}

// SetBed sets the bed's target, °C; 0 is off. It returns when the printer has accepted it.
func (m *Machine) SetBed(ctx context.Context, celsius float64) error {
	celsius = round(celsius, 1)
	if err := m.held().bed("M140", celsius); err != nil {
		return err
	}
	return m.do(ctx, "M140", 'S', celsius)
}

// WaitBed waits until the bed reads within 3 °C of celsius three times in a row, looking once a second. The target must have
// been set before. It returns a *BedError where it does not get there; the heater is then still on, and whoever called sends
// the stop.
func (m *Machine) WaitBed(ctx context.Context, celsius float64) error {
	ctx, end := m.untilStopped(ctx)
	defer end()
	w := bedWatch{targetC: round(celsius, 1), capC: math.Min(m.held().BedMaxC, hardBedMaxC)}
	now := m.clock()
	for {
		t, err := m.Poll(ctx)
		if err := m.patient(ctx, err); err != nil && !errors.Is(err, ErrNoReading) {
			return err
		}
		if err := w.see(now(), t); err != nil || w.settled >= settledTimes {
			return err
		}
		if err := m.pause(ctx, pollEvery); err != nil {
			return err
		}
	}
}

// A bedWatch judges the readings of a bed that is to get warm. It is pure.
type bedWatch struct {
	targetC, capC float64
	seen          int
	startC, lastC float64
	heard         time.Duration
	settled, hot  int
}

// see takes one reading at the time now.
func (w *bedWatch) see(now time.Duration, t gcode.Temperatures) error {
	fail := func(why string) error { return &BedError{why, w.lastC, w.targetC} }
	if !t.HasBed || math.IsNaN(t.BedC) {
		if now-w.heard > bedNoReading {
			return fail("the printer does not say how hot the bed is")
		}
		return nil
	}
	if w.seen++; w.seen == 1 {
		w.startC = t.BedC
	}
	w.heard, w.lastC = now, t.BedC
	w.settled = counted(w.settled, math.Abs(t.BedC-w.targetC) <= bedSettledC)
	w.hot = counted(w.hot, t.BedC > math.Max(w.capC, w.targetC)+overC)
	switch {
	case w.hot >= 2:
		return fail("the bed is hotter than its limit")
	case now > bedRiseIn && t.BedC < w.startC+bedRiseC && t.BedC < w.targetC-bedSettledC:
		return fail("the bed does not get warmer: sensor or heater loose? Look before touching")
	case now > bedSlowest:
		return fail("the bed did not reach its target in 30 minutes")
	}
	return nil
}

// counted goes on counting what holds, or begins anew.
func counted(n int, holds bool) int {
	if holds {
		return n + 1
	}
	return 0
}
