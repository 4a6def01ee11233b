package runner

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"fettle/routines"
	"fettle/routines/logbook"
)

// takeUp resumes the runs that wait for an answer from an earlier life and ends the others as interrupted.
func (r *Runner) takeUp(ctx context.Context) error {
	for _, state := range []string{Underway, Asking} {
		records, err := r.Book.Runs(ctx, logbook.Filter{State: state})
		if err != nil {
			return fmt.Errorf("read the runs: %w", err)
		}
		for _, record := range records {
			if err := r.takeUpOne(ctx, record); err != nil {
				return fmt.Errorf("run %s: %w", record.ID, err)
			}
		}
	}
	return nil
}

func (r *Runner) takeUpOne(ctx context.Context, record logbook.RunRecord) error {
	b, err := r.bench(record.Printer)
	if err != nil {
		return err
	}
	facts, err := r.Book.Events(ctx, logbook.Filter{Run: record.ID})
	if err != nil {
		return fmt.Errorf("read its events: %w", err)
	}
	routine, begin, last, why := r.prospects(record, facts)
	run, err := r.claimLocked(b, routine, begin)
	if err != nil {
		return err
	}
	run.record = record
	run.named()
	run.recall(facts)
	if why != nil {
		go run.abandon(why) // ends when the end is stored; Runner.Run waits for it
		return nil
	}
	if err := run.resume(ctx, last); err != nil {
		run.release()
		return err
	}
	go run.execute() // ends with its routine; Runner.Run waits for it
	return nil
}

// prospects are what a run of an earlier life goes on with, or why it cannot.
func (r *Runner) prospects(record logbook.RunRecord, facts []logbook.Event) (routine routines.Routine, begin routines.Begin, last logbook.Event, why error) {
	if err := json.Unmarshal(record.Begin, &begin); err != nil {
		return routine, begin, last, fmt.Errorf("read what it began with: %w", err)
	}
	routine, err := r.routine(record.Routine)
	if err != nil || routine.Program != record.Program {
		return routine, begin, last, routines.ErrChanged
	}
	last = lastFact(facts)
	if act := lastFact(withoutOwn(facts)); act.Kind == string(routines.Begun) { // also where a program was held in it
		why = fmt.Errorf("%w, at %q%s", errGone, act.Name, cameTo(facts))
	} else if last.Kind != string(routines.Asked) && last.Kind != string(routines.Answered) {
		why = fmt.Errorf("%w, at %q", errGone, last.Name)
	}
	return routine, begin, last, why
}

// withoutOwn leaves out what the runner asked on its own account.
func withoutOwn(events []logbook.Event) []logbook.Event {
	return slices.DeleteFunc(slices.Clone(events), func(e logbook.Event) bool { return strings.HasPrefix(e.Name, ownPrefix) })
}

// lastFact is the last event that decides whether a run can go on: a note that it went cold does not.
func lastFact(events []logbook.Event) logbook.Event {
	for i := len(events) - 1; i >= 0; i-- {
		switch routines.FactKind(events[i].Kind) {
		case routines.Asked, routines.Answered, routines.Begun, routines.Done, routines.Whole:
			return events[i]
		}
	}
	return logbook.Event{}
}

// cameTo says how far a program had come, as far as it is on record.
func cameTo(facts []logbook.Event) string {
	for _, e := range slices.Backward(facts) {
		var p Progress
		if e.Kind == streamingKept && json.Unmarshal(e.Body, &p) == nil {
			return fmt.Sprintf(", after line %d of %d or later", p.Lines, p.OfLines)
		}
		if e.Kind == string(routines.Begun) {
			break
		}
	}
	return ""
}

// named gives the run its id, by which it is seen from then on.
func (run *run) named() {
	run.mu.Lock()
	run.name = run.record.ID
	run.mu.Unlock()
	run.bench.runner.Log.Info("run", "run", run.record.ID, "printer", run.record.Printer, "state", run.record.State)
	run.bench.tell()
}

// recall takes from a run's events what its goroutine must know.
func (run *run) recall(events []logbook.Event) {
	for _, e := range events {
		run.number = max(run.number, e.Question)
	}
}

// resume readies a run that waits: its machine is cold now, whatever it was. A question of the routine's that was open
// stays open; one of the runner's own is asked anew when it is due.
func (run *run) resume(ctx context.Context, last logbook.Event) error {
	if last.Kind == string(routines.Asked) && !strings.HasPrefix(last.Name, ownPrefix) {
		run.resumed = &last
	}
	return run.goneCold(ctx, "the agent was away")
}

// abandon ends a run of an earlier life that cannot go on.
func (run *run) abandon(why error) {
	defer run.release()
	run.close(routines.Finding{}, nil, why)
}
