package runner

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/serialio"
)

// execute runs the routine over its past facts and on, until it ends or the agent does. It is the run's one goroutine.
func (run *run) execute() {
	defer run.release()
	for {
		finding, entries, err := run.once()
		switch {
		case errors.Is(err, errTakenBack) && run.ctx.Err() == nil:
			continue
		case err != nil && run.pressed.Load() == nil && errors.Is(context.Cause(run.ctx), errShutdown) && run.survives():
			return // the question survives; the next life takes it up
		}
		run.close(finding, entries, err)
		return
	}
}

// once calls the routine over the facts that the logbook holds, until it ends or an answer is taken back.
func (run *run) once() (routines.Finding, []routines.Entry, error) {
	ctx := run.turn()
	past, err := run.bench.runner.Book.Facts(ctx, run.record.ID)
	if err != nil {
		return routines.Finding{}, nil, fmt.Errorf("read the facts: %w", err)
	}
	for len(past) > 0 && past[0].Kind == routines.Cooled {
		past = past[1:] // nothing was done before it that could have gone cold
	}
	rr := routines.NewRun(ctx, run.begin, past, &host{run})
	finding, err := run.routine.Do(rr)
	if err != nil && errors.Is(context.Cause(ctx), errTakenBack) {
		err = errTakenBack // whatever it was that failed by it
	}
	return finding, rr.Recorded(), err
}

// turn begins a replay: its context ends with the run, or when an answer is taken back.
func (run *run) turn() context.Context {
	run.mu.Lock()
	defer run.mu.Unlock()
	if run.back != nil {
		run.back(nil)
		run.resumed = nil
	}
	var ctx context.Context
	ctx, run.back = context.WithCancelCause(run.ctx)
	return ctx
}

// close records the end and gives back what is owed. A person's stop is on the disk first; any other end is told when
// the printer has been given back what it was owed.
func (run *run) close(finding routines.Finding, entries []routines.Entry, err error) {
	state, cause := run.verdict(err)
	run.ending()
	step := logbook.Step{Entries: entriesOf(entries), Events: run.unkept}
	if state == Finished {
		step.Events = append(step.Events, logbook.Event{Kind: "run ended", Name: state, Body: mustJSON(finding)})
		run.record.Finding = mustJSON(finding)
	} else {
		step.Events = append(step.Events, logbook.Event{Kind: "run ended", Name: state, Body: mustJSON(map[string]string{"cause": cause})})
		step.WireTail = mustJSON(run.bench.wire().Since(0))
	}
	run.record.Cause = cause
	kept := state == Stopped && run.keepEnd(state, step)
	run.giveBack()
	for !kept && !run.keepEnd(state, step) && run.storeMayHeal() {
	}
	run.bench.runner.Log.Info("run", "run", run.record.ID, "printer", run.record.Printer, "state", state, "cause", cause)
}

// giveBack gives back what the run owes. What cannot be given back now is when the line comes to listen next.
func (run *run) giveBack() {
	ctx, cancel := context.WithTimeout(context.Background(), payLimit)
	defer cancel()
	if err := run.bench.pay(ctx); err != nil {
		run.bench.runner.Log.Warn("not given back yet", "run", run.record.ID, "err", err)
	}
}

// keepEnd stores the end of the run and reports whether it is kept.
func (run *run) keepEnd(state string, step logbook.Step) bool {
	ctx, cancel := context.WithTimeout(context.Background(), payLimit)
	defer cancel()
	_, err := run.commit(ctx, state, step)
	if err != nil {
		run.bench.runner.Log.Error("the end of the run is not kept", "run", run.record.ID, "err", err)
	}
	return err == nil
}

// storeMayHeal waits a moment before the store is tried again, and reports false where the agent ends. Until then the
// run holds its printer: the store says that it has not ended, and would take no other.
func (run *run) storeMayHeal() bool {
	run.at(&Doing{What: "waiting for the store"})
	select {
	case <-time.After(run.bench.runner.PollEvery):
		return true
	case <-run.bench.runner.life.Done():
		return false
	}
}

// away are the errors that mean that the line, the board or the program went away, and not that the work is wrong.
var away = []error{serialio.ErrUnplugged, serialio.ErrRestarted, serialio.ErrOutOfStep, serialio.ErrNotListening,
	ErrNotListening, ErrAnotherPrinter, routines.ErrChanged, routines.ErrHalfDone, errShutdown, errGone, errAwayHeld}

// verdict names the end of a run and says why in words.
func (run *run) verdict(err error) (state, cause string) {
	if err == nil {
		return Finished, ""
	}
	if p := run.pressed.Load(); p != nil {
		return Stopped, p.String()
	}
	if why := context.Cause(run.ctx); errors.Is(why, errShutdown) {
		return Interrupted, why.Error()
	}
	if s := run.bench.machine.Snapshot(); s.State == serialio.Halted && s.Fault != "" {
		return Failed, fmt.Sprintf("the printer stopped itself and said %q: %v", s.Fault, plainly(s, err))
	}
	for _, gone := range away {
		if errors.Is(err, gone) {
			return Interrupted, err.Error()
		}
	}
	if run.wasAway() { // what was owed was given back when the line returned: the heat that is missing now, we took
		return Interrupted, "the line was away: " + err.Error()
	}
	return Failed, err.Error()
}

// plainly says what the firmware's words mean, where they tell; otherwise what failed by them.
func plainly(s serialio.Snapshot, err error) string {
	if f, ok := haltedBy(s); ok {
		return f.Means + " " + f.Look
	}
	return err.Error()
}

func mustJSON(v any) json.RawMessage {
	body, err := json.Marshal(v)
	if err != nil { // only for types that cannot be printed, and these are ours
		return fmt.Appendf(nil, "%q", err.Error())
	}
	return body
}
