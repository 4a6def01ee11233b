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
	r := run.bench.runner
	defer r.work.Done()
	defer run.bench.tell()
	defer run.bench.run.Store(nil)
	defer run.end(nil)

	run.named()
	for {
		finding, entries, err := run.once()
		switch {
		case errors.Is(err, errTakenBack) && run.ctx.Err() == nil:
			continue
		case err != nil && errors.Is(context.Cause(run.ctx), errShutdown) && run.survives():
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
	rr := routines.NewRun(ctx, run.begin, past, &host{run})
	finding, err := run.routine.Do(rr)
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
	r := run.bench.runner
	state, cause := run.verdict(err)
	ctx, cancel := context.WithTimeout(context.Background(), payLimit)
	defer cancel()
	run.at(&Doing{What: "restoring"})
	settle := func() {
		if err := run.bench.pay(ctx); err != nil {
			r.Log.Warn("not given back yet", "run", run.record.ID, "err", err)
		}
	}
	if state != Stopped {
		settle()
	}
	step := logbook.Step{Entries: entriesOf(entries)}
	if state == Finished {
		step.Events = []logbook.Event{{Kind: "run ended", Name: state, Body: mustJSON(finding)}}
		run.record.Finding = mustJSON(finding)
	} else {
		step.Events = []logbook.Event{{Kind: "run ended", Name: state, Body: mustJSON(map[string]string{"cause": cause})}}
		step.WireTail = mustJSON(run.bench.wire().Since(0))
	}
	run.record.Cause, run.record.EndedMS = cause, time.Now().UnixMilli()
	if _, err := run.commit(ctx, state, step); err != nil {
		r.Log.Error("the end of the run is not kept", "run", run.record.ID, "err", err)
	}
	if state == Stopped {
		settle()
	}
	r.Log.Info("run", "run", run.record.ID, "printer", run.record.Printer, "state", state, "cause", cause)
}

// away are the errors that mean that the line, the board or the program went away, and not that the work is wrong.
var away = []error{serialio.ErrUnplugged, serialio.ErrRestarted, serialio.ErrOutOfStep, serialio.ErrNotListening,
	ErrNotListening, routines.ErrChanged, routines.ErrHalfDone, errShutdown}

// verdict names the end of a run and says why in words.
func (run *run) verdict(err error) (state, cause string) {
	if err == nil {
		return Finished, ""
	}
	why := context.Cause(run.ctx)
	if errors.Is(why, errStopPressed) || errors.Is(why, errHaltPressed) {
		return Stopped, why.Error()
	}
	if errors.Is(why, errShutdown) {
		return Interrupted, why.Error()
	}
	for _, gone := range away {
		if errors.Is(err, gone) {
			return Interrupted, err.Error()
		}
	}
	return Failed, err.Error()
}

func mustJSON(v any) json.RawMessage {
	body, err := json.Marshal(v)
	if err != nil { // only for types that cannot be printed, and these are ours
		return fmt.Appendf(nil, "%q", err.Error())
	}
	return body
}
