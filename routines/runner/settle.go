package runner

import (
	"context"
	"fmt"
	"sync"

	"fettle/routines/logbook"
	"fettle/serialio"
)

// Settle opens the line of one printer, gives back what is owed to it, and closes the line. Another printer
// on that line is given nothing. It is for a process that does nothing else, after the agent died.
func (r *Runner) Settle(ctx context.Context, p logbook.Printer) error {
	b := newBench(r, p)
	lineCtx, closeLine := context.WithCancel(ctx)
	var line sync.WaitGroup
	line.Go(func() { b.keepLine(lineCtx) }) // ends with lineCtx
	defer line.Wait()
	defer closeLine()
	for {
		news := b.machine.Changed()
		s := b.machine.Snapshot()
		if s.State == serialio.Listening {
			if err := b.identify(ctx, contactOf(s)); err != nil {
				return err
			}
			return b.pay(ctx)
		}
		select {
		case <-ctx.Done():
			return fmt.Errorf("%w: it is %s %s", ErrNotListening, s.State, s.Why)
		case <-news:
		}
	}
}
