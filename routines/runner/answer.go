package runner

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"strings"

	"fettle/routines"
	"fettle/routines/logbook"
)

// Answer gives the answer to a question. The first durable answer wins; the same one again is no error, another is an
// *AnsweredError that carries the winner. It returns when the answer is on the disk.
func (r *Runner) Answer(ctx context.Context, id string, question int64, answer json.RawMessage, who string) (RunView, error) {
	record, err := r.record(ctx, id)
	if err != nil {
		return RunView{}, err
	}
	run := r.live(record)
	var open *OpenQuestion
	if run != nil {
		open = run.question()
	}
	if open == nil || open.Number != question {
		return r.answeredBefore(ctx, id, question, answer)
	}
	body, err := open.Validate(answer)
	if err != nil {
		return RunView{}, err
	}
	winner, first, err := r.Book.Answer(ctx, logbook.Event{Run: id, Printer: record.Printer, Kind: string(routines.Answered),
		Name: open.Name, Question: question, Who: who, Body: body})
	if err != nil {
		return RunView{}, fmt.Errorf("store the answer: %w", err)
	}
	if !first && !bytes.Equal(winner.Body, body) {
		return RunView{}, &AnsweredError{Winner: winner}
	}
	if first {
		run.deliver(winner)
	}
	return r.View(ctx, id)
}

// deliver hands the winner to the run. Only the one who stored it calls this, so that the place is free.
func (run *run) deliver(winner logbook.Event) {
	select {
	case run.answers <- winner:
	case <-run.ctx.Done():
	}
}

// answeredBefore judges an answer to a question that is not open (any more).
func (r *Runner) answeredBefore(ctx context.Context, id string, question int64, answer json.RawMessage) (RunView, error) {
	events, err := r.Book.Events(ctx, logbook.Filter{Run: id})
	if err != nil {
		return RunView{}, fmt.Errorf("read the answers: %w", err)
	}
	var asked routines.Question
	for _, e := range events {
		switch {
		case e.Question != question:
		case e.Kind == string(routines.Asked):
			if err := json.Unmarshal(e.Body, &asked); err != nil {
				return RunView{}, fmt.Errorf("read question %d: %w", question, err)
			}
		case e.Kind == string(routines.Answered):
			if body, err := asked.Validate(answer); err == nil && bytes.Equal(body, e.Body) {
				return r.View(ctx, id)
			}
			return RunView{}, &AnsweredError{Winner: e}
		}
	}
	return RunView{}, fmt.Errorf("%w: question %d of run %s is not open", ErrNotAsking, question, id)
}

// TakeBack drops the last answer while nothing has been done on it. Nothing is edited: a fact follows that says so, and
// the run is replayed without the answer.
func (r *Runner) TakeBack(ctx context.Context, id, who string) (RunView, error) {
	record, err := r.record(ctx, id)
	if err != nil {
		return RunView{}, err
	}
	run := r.live(record)
	if run == nil || run.question() == nil {
		return RunView{}, fmt.Errorf("%w: run %s", ErrNotAsking, id)
	}
	events, err := r.Book.Events(ctx, logbook.Filter{Run: id})
	if err != nil {
		return RunView{}, fmt.Errorf("read the answers: %w", err)
	}
	last, ok := lastAnswer(events)
	if !ok {
		return RunView{}, fmt.Errorf("%w: run %s", ErrNothingToTakeBack, id)
	}
	back := logbook.Event{Run: id, Printer: record.Printer, Kind: "taken_back", Name: last.Name, Who: who}
	if _, err := r.Book.Commit(ctx, logbook.Step{Events: []logbook.Event{back}}); err != nil {
		return RunView{}, fmt.Errorf("store that the answer was taken back: %w", err)
	}
	run.end(errTakenBack)
	return r.View(ctx, id)
}

// lastAnswer is the newest answer to the routine on which nothing has been done yet.
func lastAnswer(events []logbook.Event) (logbook.Event, bool) {
	for i := len(events) - 1; i >= 0; i-- {
		e := events[i]
		switch routines.FactKind(e.Kind) {
		case routines.Answered:
			if !strings.HasPrefix(e.Name, ownPrefix) {
				return e, true
			}
		case routines.Begun, routines.Done, "taken_back":
			return logbook.Event{}, false
		}
	}
	return logbook.Event{}, false
}
