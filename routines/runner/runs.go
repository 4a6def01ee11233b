package runner

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"fettle/routines"
	"fettle/routines/logbook"
)

func (r *Runner) record(ctx context.Context, id string) (logbook.RunRecord, error) {
	record, err := r.Book.Run(ctx, id)
	if errors.Is(err, logbook.ErrNotFound) {
		return record, fmt.Errorf("%w: %q", ErrNoRun, id)
	}
	if err != nil {
		return record, fmt.Errorf("read run %s: %w", id, err)
	}
	return record, nil
}

// live is the live run of a record, nil where it is over.
func (r *Runner) live(record logbook.RunRecord) *run {
	b, err := r.bench(record.Printer)
	if err != nil {
		return nil
	}
	if run := b.run.Load(); run != nil && run.id() == record.ID {
		return run
	}
	return nil
}

// View is a run as it stands.
func (r *Runner) View(ctx context.Context, id string) (RunView, error) {
	record, err := r.record(ctx, id)
	if err != nil {
		return RunView{}, err
	}
	v, err := r.viewOf(ctx, record)
	if err != nil {
		return v, err
	}
	return v, r.viewEvents(ctx, &v)
}

// viewOf is a run without what follows from its events. The record says which printer to look at; where nothing is live
// there, the record is read once more, so that a run that ended since the first reading is seen as ended.
func (r *Runner) viewOf(ctx context.Context, record logbook.RunRecord) (RunView, error) {
	live := r.live(record)
	if live == nil && !Ended(record.State) {
		var err error
		if record, err = r.record(ctx, record.ID); err != nil {
			return RunView{}, err
		}
	}
	v, err := viewRecord(record)
	if err == nil && live != nil {
		live.look(&v)
	}
	return v, err
}

func viewRecord(record logbook.RunRecord) (RunView, error) {
	v := RunView{ID: record.ID, Printer: record.Printer, Routine: record.Routine, State: record.State, Cause: record.Cause,
		From: record.From, Who: record.Who, Begun: time.UnixMilli(record.BegunMS).UTC(), Answers: []Given{}}
	if record.EndedMS > 0 {
		ended := time.UnixMilli(record.EndedMS).UTC()
		v.Ended = &ended
	}
	var begin routines.Begin
	if err := json.Unmarshal(record.Begin, &begin); err != nil {
		return v, fmt.Errorf("read what run %s began with: %w", record.ID, err)
	}
	v.Inputs, v.Material = begin.Inputs, begin.Material.ID
	if len(record.Finding) > 0 {
		v.Finding = &routines.Finding{}
		if err := json.Unmarshal(record.Finding, v.Finding); err != nil {
			return v, fmt.Errorf("read the finding of run %s: %w", record.ID, err)
		}
	}
	return v, nil
}

// look adds what only the live run knows. A run that is ending is underway until it has given back what is owed.
func (run *run) look(v *RunView) {
	run.mu.Lock()
	defer run.mu.Unlock()
	v.State, v.Doing, v.Question = Underway, run.doing, run.open
	v.Ended, v.Finding, v.Cause = nil, nil, ""
	if run.open != nil {
		v.State, v.Doing = Asking, nil
	}
}

func (r *Runner) viewEvents(ctx context.Context, v *RunView) error {
	events, err := r.Book.Events(ctx, logbook.Filter{Run: v.ID})
	if err != nil {
		return fmt.Errorf("read the events of run %s: %w", v.ID, err)
	}
	for _, e := range events {
		v.LastSeq = e.Seq
		if e.Kind == takenBack {
			v.Answers = withoutLast(v.Answers, e.Name)
		}
		if e.Kind == string(routines.Answered) {
			v.Answers = append(v.Answers, Given{Question: e.Question, Name: e.Name, Answer: e.Body, Who: e.Who, At: time.UnixMilli(e.WallMS).UTC()})
		}
	}
	return nil
}

// withoutLast drops the last answer of that name and what was answered since.
func withoutLast(answers []Given, name string) []Given {
	for i, a := range slices.Backward(answers) {
		if a.Name == name {
			return answers[:i]
		}
	}
	return answers
}

// listed is how many runs a listing holds at most.
const listed = 100

// Views are the runs of a printer, or of all, newest first, without their answers: those are in the view of each.
func (r *Runner) Views(ctx context.Context, printer string) ([]RunView, error) {
	records, err := r.Book.Runs(ctx, logbook.Filter{Printer: printer, Limit: listed})
	if err != nil {
		return nil, fmt.Errorf("read the runs: %w", err)
	}
	last, err := r.Book.LastOfRuns(ctx, logbook.Filter{Printer: printer, Limit: listed})
	if err != nil {
		return nil, fmt.Errorf("read the last events of the runs: %w", err)
	}
	views := []RunView{}
	for _, record := range records {
		v, err := r.viewOf(ctx, record)
		if err != nil {
			return nil, err
		}
		v.LastSeq = last[record.ID]
		views = append(views, v)
	}
	return views, nil
}

// Await returns the run when it is in one of the states named ("asking", "ended", or a state) or, for "changed", when it
// stands otherwise than at first; or as it is when ctx ends.
func (r *Runner) Await(ctx context.Context, id string, until []string) (RunView, error) {
	first, err := r.View(context.WithoutCancel(ctx), id)
	if err != nil || reached(first, until) {
		return first, err
	}
	before := standing{seq: -1}
	for {
		news, kept := r.changed.Wait(), r.Book.Changed()
		if now := r.standing(first.Printer); now != before || ctx.Err() != nil {
			before = now
			v, err := r.View(context.WithoutCancel(ctx), id)
			changed := slices.Contains(until, "changed") && (v.LastSeq != first.LastSeq || v.State != first.State)
			if err != nil || reached(v, until) || changed || ctx.Err() != nil {
				return v, err
			}
		}
		select {
		case <-ctx.Done():
		case <-news:
		case <-kept:
		}
	}
}

// standing is what a run's view follows from, but for what it is doing. It costs nothing to look at: a printer at work
// tells of a reading many times a second, and many may wait.
type standing struct {
	seq  int64 // of the newest event of all
	live *run
	open *OpenQuestion
}

func (r *Runner) standing(printer string) standing {
	now := standing{seq: r.Book.Last()}
	if b, err := r.bench(printer); err == nil {
		if now.live = b.run.Load(); now.live != nil {
			now.open = now.live.question()
		}
	}
	return now
}

func reached(v RunView, until []string) bool {
	return slices.Contains(until, v.State) || (Ended(v.State) && slices.Contains(until, "ended"))
}
