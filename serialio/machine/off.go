package machine

import (
	"context"
	"errors"
	"fmt"
	"time"

	"fettle/serialio"
)

const (
	offWithin = time.Minute // how long Off waits for the printer's own word, in printer time
	minAlarm  = time.Second // the shortest alarm on a clock on the wall, however fast a stand-in runs
)

// ErrNotOff says that the printer's own report does not say that its heaters are off.
var ErrNotOff = errors.New("the printer does not say that its heaters are off")

// Off switches nozzle and bed off, nozzle first, again each second, until two reports in a row say that both targets
// are 0. It returns ErrNotOff after a minute.
func (m *Machine) Off(ctx context.Context) error {
	ctx, end := m.untilStopped(ctx)
	defer end()
	within := max(offWithin, time.Duration(float64(minAlarm)*m.speedup))
	now := m.clock()
	for saidOff := 0; ; {
		if err := m.allOff(ctx); err != nil {
			return err
		}
		t, err := m.Poll(ctx)
		switch {
		case err != nil && !errors.Is(err, ErrNoReading):
			return err
		case err == nil && t.HasNozzle && t.HasTarget && t.NozzleTargetC == 0 && t.BedTargetC == 0:
			saidOff++
		default:
			saidOff = 0
		}
		if saidOff >= 2 {
			return nil
		}
		if now() > within {
			return fmt.Errorf("switch off: %w", ErrNotOff)
		}
		if err := m.pause(ctx, pollEvery); err != nil {
			return err
		}
	}
}

// allOff sends both words whatever comes of the first. A printer without a bed may not know the second.
func (m *Machine) allOff(ctx context.Context) error {
	m.aim.off()
	m.bedAim.off()
	nozzle := m.do(ctx, "M104", 'S', 0.0)
	bed := m.do(ctx, "M140", 'S', 0.0)
	var unknown *serialio.FirmwareError
	if errors.As(bed, &unknown) {
		bed = nil
	}
	return errors.Join(nozzle, bed)
}
