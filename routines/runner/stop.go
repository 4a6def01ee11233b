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

// press is who ended a run, and how.
type press struct {
	cause error
	who   string
}

func (p press) String() string {
	if p.who == "" {
		return p.cause.Error() + " by a person"
	}
	return p.cause.Error() + " by " + p.who
}

// Stop sends the printer's heaters off and ends what it does for us. It takes no lock, no store and no queue: the burst
// is on its way when it returns, and the record is written afterwards. Harmless twice.
func (r *Runner) Stop(printer, who string) error {
	b, err := r.bench(printer)
	if err != nil {
		return err
	}
	b.press(press{errStopPressed, who}, b.machine.Stop)
	r.note(note{printer, "stop pressed", who})
	return nil
}

// Halt tells the firmware to give up everything (M112). The printer then needs a person: a power cycle, and homing.
func (r *Runner) Halt(printer, who string) error {
	b, err := r.bench(printer)
	if err != nil {
		return err
	}
	b.press(press{errHaltPressed, who}, b.machine.Halt)
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

// press tells the run who ends it before its machine calls begin to fail, and ends it when the words are on their way.
// A run that began in between is ended too: a stop beats a start.
func (b *bench) press(p press, now func()) {
	if run := b.run.Load(); run != nil {
		run.pressed.CompareAndSwap(nil, &p)
	}
	now()
	if run := b.run.Load(); run != nil {
		run.pressed.CompareAndSwap(nil, &p)
		run.end(p.cause)
	}
}

// note keeps a press for the record; where more are waiting than fit, the rest are the same press repeated.
func (r *Runner) note(n note) {
	select {
	case r.notes <- n:
	default:
	}
}

// writeNotes writes presses down until ctx ends.
func (r *Runner) writeNotes(ctx context.Context) {
	for {
		select {
		case n := <-r.notes:
			r.writeNote(n)
		case <-ctx.Done():
			return
		}
	}
}

// writeLastNotes writes down the presses that wait.
func (r *Runner) writeLastNotes() {
	for {
		select {
		case n := <-r.notes:
			r.writeNote(n)
		default:
			return
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
