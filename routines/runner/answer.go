package runner

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"slices"
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
	if run == nil {
		return r.answeredBefore(ctx, id, question, answer)
	}
	if stored, err := run.answer(ctx, question, answer, who); err != nil {
		return RunView{}, err
	} else if !stored {
		return r.answeredBefore(ctx, id, question, answer)
	}
	return r.View(ctx, id)
}

// answer stores the answer to the open question and hands it to the run. It reports false where another is open or none.
func (run *run) answer(ctx context.Context, question int64, answer json.RawMessage, who string) (stored bool, err error) {
	run.deciding.Lock()
	defer run.deciding.Unlock()
	open := run.question()
	if open == nil || open.Number != question {
		return false, nil
	}
	body, err := open.Validate(answer)
	if err != nil {
		return false, err
	}
	winner, first, err := run.bench.runner.Book.Answer(ctx, logbook.Event{Run: run.id(), Printer: run.bench.printer.ID,
		Kind: string(routines.Answered), Name: open.Name, Question: question, Who: who, Body: body})
	if err != nil {
		return false, fmt.Errorf("store the answer: %w", err)
	}
	run.deliver(winner)
	if !first && !bytes.Equal(winner.Body, body) {
		return false, &AnsweredError{Winner: winner}
	}
	return true, nil
}

// deliver hands the winner to the run, once: its question is open until then. It may have been stored before, by somebody
// who was not told so because the connection broke, or the store answered too late.
func (run *run) deliver(winner logbook.Event) {
	run.answered(winner.Question)
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
	if run == nil {
		return RunView{}, fmt.Errorf("%w: run %s", ErrNotAsking, id)
	}
	if err := run.takeBack(ctx, who); err != nil {
		return RunView{}, err
	}
	return r.View(ctx, id)
}

// takeBack works only while the run waits for an answer: then nothing is being done on the last one.
func (run *run) takeBack(ctx context.Context, who string) error {
	run.deciding.Lock()
	defer run.deciding.Unlock()
	open, book := run.question(), run.bench.runner.Book
	if open == nil {
		return fmt.Errorf("%w: run %s", ErrNotAsking, run.id())
	}
	events, err := book.Events(ctx, logbook.Filter{Run: run.id()})
	if err != nil {
		return fmt.Errorf("read the answers: %w", err)
	}
	last, ok := lastAnswer(events)
	if !ok {
		return fmt.Errorf("%w: run %s", ErrNothingToTakeBack, run.id())
	}
	back := []logbook.Event{{Run: run.id(), Printer: run.bench.printer.ID, Kind: takenBack, Name: last.Name, Who: who}}
	if cooledSince(events, last) { // it went with the question that goes, and the nozzle is cold all the same
		back = append(back, logbook.Event{Run: run.id(), Printer: run.bench.printer.ID, Kind: string(routines.Cooled), Name: "before the answer was taken back"})
	}
	if _, err := book.Commit(ctx, logbook.Step{Events: back}); err != nil {
		return fmt.Errorf("store that the answer was taken back: %w", err)
	}
	run.answered(open.Number)
	run.mu.Lock()
	defer run.mu.Unlock()
	run.back(errTakenBack)
	return nil
}

const takenBack = "taken_back"

// cooledSince reports whether the nozzle went cold after the question of an answer was asked.
func cooledSince(events []logbook.Event, answer logbook.Event) bool {
	asked := slices.IndexFunc(events, func(e logbook.Event) bool {
		return e.Kind == string(routines.Asked) && e.Question == answer.Question
	})
	return slices.ContainsFunc(events[max(asked, 0):], func(e logbook.Event) bool { return e.Kind == string(routines.Cooled) })
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
		case routines.Begun, routines.Done, takenBack:
			return logbook.Event{}, false
		}
	}
	return logbook.Event{}, false
}
