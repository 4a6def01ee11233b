package runner

import (
	"context"
	"time"

	"fettle/routines/logbook"
)

// note is something done to a printer that is written down after it was done.
type note struct {
	printer, kind, who string
}

// Stop sends the printer's heaters off and ends what it does for us. It takes no lock, no store and no queue: the burst
// is on its way when it returns, and the record is written afterwards. Harmless twice.
func (r *Runner) Stop(printer, who string) error {
	b, err := r.bench(printer)
	if err != nil {
		return err
	}
	b.machine.Stop()
	b.endRun(errStopPressed)
	r.note(note{printer, "stop pressed", who})
	return nil
}

// Halt tells the firmware to give up everything (M112). The printer then needs a person: a power cycle, and homing.
func (r *Runner) Halt(printer, who string) error {
	b, err := r.bench(printer)
	if err != nil {
		return err
	}
	b.machine.Halt()
	b.endRun(errHaltPressed)
	r.note(note{printer, "halt pressed", who})
	return nil
}

// Wake asks a line that is halted or out of step to begin anew. It may restart the board.
func (r *Runner) Wake(printer, who string) error {
	b, err := r.bench(printer)
	if err != nil {
		return err
	}
	b.machine.Wake()
	r.note(note{printer, "wake pressed", who})
	return nil
}

func (b *bench) endRun(cause error) {
	if run := b.run.Load(); run != nil {
		run.end(cause)
	}
}

// note keeps a press for the record; where more are waiting than fit, the rest are the same press repeated.
func (r *Runner) note(n note) {
	select {
	case r.notes <- n:
	default:
	}
}

// writeNotes writes presses down until ctx ends, and then those that wait.
func (r *Runner) writeNotes(ctx context.Context) {
	for {
		select {
		case n := <-r.notes:
			r.writeNote(n)
		case <-ctx.Done():
			for {
				select {
				case n := <-r.notes:
					r.writeNote(n)
				default:
					return
				}
			}
		}
	}
}

func (r *Runner) writeNote(n note) {
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
	defer cancel()
	if _, err := r.Book.Commit(ctx, logbook.Step{Events: []logbook.Event{{Printer: n.printer, Kind: n.kind, Who: n.who}}}); err != nil {
		r.Log.Error("not kept in the logbook", "printer", n.printer, "what", n.kind, "err", err)
	}
}
