package machine

import (
	"context"
	"errors"
	"fmt"
	"time"

	"fettle/serialio"
)

// stepWithin is how long a line may take to get in step again, on a clock on the wall; it does so by itself.
const stepWithin = 10 * time.Second

// patient turns a question that fell silent into no reading: where the line gets in step again in time, the next
// question may be asked. Only questions are waited for so, never what moves. A board that has restarted meanwhile has
// forgotten what it was told.
func (m *Machine) patient(ctx context.Context, err error) error {
	if !errors.Is(err, serialio.ErrOutOfStep) {
		return err
	}
	greetings := m.Snapshot().Greetings
	late := time.NewTimer(stepWithin)
	defer late.Stop()
	for {
		news, s := m.Changed(), m.Snapshot()
		switch {
		case s.Greetings != greetings:
			return fmt.Errorf("while it was silent: %w", serialio.ErrRestarted)
		case s.State == serialio.Listening:
			return nil
		case s.State != serialio.OutOfStep:
			return err
		}
		select {
		case <-news:
		case <-late.C:
			return err
		case <-ctx.Done():
			return context.Cause(ctx)
		}
	}
}
