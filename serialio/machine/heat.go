package machine

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"fettle/serialio"
	"fettle/serialio/gcode"
)

// How often heat is looked at, and how long is waited for it, in printer time.
const (
	pollEvery = time.Second
	slowest   = 15 * time.Minute // no nozzle needs longer (common practice, no source)
)

// ErrNoReading says that the printer answered, and not with a temperature.
var ErrNoReading = errors.New("the printer gave no temperature")

// SetNozzle sets the nozzle's target, °C; 0 is off. It returns when the printer has accepted it, not when it is hot.
func (m *Machine) SetNozzle(ctx context.Context, celsius float64) error {
	_, err := m.setNozzle(ctx, celsius)
	return err
}

func (m *Machine) setNozzle(ctx context.Context, celsius float64) (serialio.Reply, error) {
	celsius = round(celsius, 1)
	if err := m.held().nozzle("M104", celsius); err != nil {
		return serialio.Reply{}, err
	}
	pending := m.aim.unsure()
	reply, err := m.send(ctx, block("M104", 'S', celsius))
	if err == nil {
		m.aim.sure(pending, celsius)
	}
	return reply, err
}

// Poll asks for the temperatures (M105), °C. It returns ErrNoReading where the answer holds none.
func (m *Machine) Poll(ctx context.Context) (gcode.Temperatures, error) {
	reply, err := m.send(ctx, block("M105"))
	if err != nil {
		return gcode.Temperatures{}, err
	}
	t, ok := temperatures(reply)
	if !ok {
		return t, fmt.Errorf("M105: %w", ErrNoReading)
	}
	return t, nil
}

// temperatures are those of the last line that holds any: what is said with the ok is the newest. A line that names the
// nozzle and has no number for it is one of them, and no reading.
func temperatures(reply serialio.Reply) (gcode.Temperatures, bool) {
	for i := len(reply.Lines) - 1; i >= 0; i-- {
		if t, ok := gcode.ParseTemperatures([]byte(reply.Lines[i])); ok || t.NoNumber {
			return t, ok
		}
	}
	return gcode.Temperatures{}, false
}

// WaitNozzle waits until the nozzle reads within 2 °C of celsius three times in a row, looking once a second. The
// target must have been set before. The bed is watched too. It returns a *HeatError for what watch.go
// and bed_watch.go forbid; heat is then still on, and whoever called sends the stop.
func (m *Machine) WaitNozzle(ctx context.Context, celsius float64) error {
	celsius = round(celsius, 1)
	limits := m.held()
	if err := limits.nozzle("M104", celsius); err != nil {
		return err
	}
	if celsius == 0 {
		return &RefusedError{"M104", "there is no waiting for 0 °C", "a temperature above 0 °C"}
	}
	ctx, end := m.untilStopped(ctx)
	defer end()
	w, bed := newWatch(celsius, limits), &bedside{m: m}
	now := m.clock()
	for {
		if err := m.patient(ctx, m.watched(ctx, w, bed, now)); err != nil {
			return err
		}
		if w.arrived() {
			return nil
		}
		if now() > slowest {
			return w.fail(TooSlow)
		}
		if err := m.pause(ctx, pollEvery); err != nil {
			return err
		}
	}
}

// watched takes one report and shows it to both watches; w is nil where no nozzle is to be watched. A target that did not
// arrive is sent once more, unless it has been overruled meanwhile: a stop is not to be undone.
func (m *Machine) watched(ctx context.Context, w *watch, bed *bedside, now func() time.Duration) error {
	asked := now()
	t, err := m.Poll(ctx)
	if err != nil && !errors.Is(err, ErrNoReading) {
		return err
	}
	read := now()
	bedAgain, bedErr := bed.see(asked, read, t)
	if w != nil {
		again, err := w.see(asked, read, t)
		if err != nil {
			return err
		}
		if aimed, ok := m.aim.celsius(); again && ok && aimed == w.targetC {
			if err := m.do(ctx, "M104", 'S', w.targetC); err != nil {
				return err
			}
		}
	}
	if bedErr != nil || !bedAgain {
		return bedErr
	}
	return bed.sendAgain(ctx)
}

// near reports whether two targets are the same: some firmware keeps whole degrees.
func near(a, b float64) bool { return math.Abs(a-b) < 1 }
