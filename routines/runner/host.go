package runner

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"fettle/routines"
	"fettle/routines/logbook"
)

// host is what a live run stands on.
type host struct{ run *run }

func (h *host) Commit(ctx context.Context, f routines.Fact, entries []routines.Entry) error {
	_, err := h.run.commit(ctx, Underway, logbook.Step{
		Events: []logbook.Event{{Kind: string(f.Kind), Name: f.Name, Body: f.Body}}, Entries: entriesOf(entries)})
	if err != nil {
		return fmt.Errorf("store %s %q: %w", f.Kind, f.Name, err)
	}
	h.run.begun()
	return nil
}

func (h *host) Answer(ctx context.Context, q routines.Question, entries []routines.Entry, open bool) (json.RawMessage, bool, error) {
	answer, cooled, err := h.run.wait(ctx, q, entries, open)
	h.run.handsDue = true
	return answer, cooled, err
}

func (h *host) Printer() routines.Printer { return &hand{h.run} }

func (h *host) Cool(ctx context.Context) error {
	if !h.run.hot {
		return nil
	}
	h.run.at(&Doing{What: "switching the heater off"})
	defer h.run.at(nil)
	h.run.hot, h.run.warm = false, routines.Heat{}
	return h.run.bench.pay(ctx, heat)
}

// wait stores a question, waits for its first durable answer and returns it. Meanwhile a heater is switched off at the
// attended limit, and the question kept; heat that misbehaves ends the run.
func (run *run) wait(ctx context.Context, q routines.Question, entries []routines.Entry, posed bool) (answer json.RawMessage, cooled bool, err error) {
	asked, err := run.pose(ctx, q, entries, posed)
	if err != nil {
		return nil, false, err
	}
	left := run.attendedLeft()
	open := &OpenQuestion{Number: asked.Question, Question: q, Asked: time.UnixMilli(asked.WallMS)}
	if left > 0 {
		at := time.Now().Add(left).UTC().Truncate(time.Second)
		open.CoolsAt = &at
	}
	run.ask(open)
	limit, stop := humanTimer(left)
	begun := time.Now()
	defer func() { stop() }()
	vigil := run.watch()
	defer vigil.stop()
	for why := ""; ; {
		news := run.bench.changed.Wait()
		if err := run.lostPlace(); err != nil {
			return nil, cooled, err
		}
		if run.wasAway() {
			why = "the line was away"
		}
		if why != "" {
			cooled = true
			if err := run.goneCold(ctx, named(q, why)); err != nil {
				return nil, cooled, err
			}
			why = ""
		}
		select {
		case <-ctx.Done():
			return nil, cooled, context.Cause(ctx) // the question stays open: a shutdown is told from an end by it
		case e := <-run.answers:
			if e.Question != asked.Question {
				continue
			}
			if time.Since(begun) > run.bench.runner.AttendedLimit {
				run.attended, run.handsDue = false, true // whoever was there may have left since
			}
			return e.Body, cooled, nil
		case <-news:
		case <-vigil.due:
			off, err := vigil.look(ctx)
			if err != nil {
				return nil, cooled, err
			}
			if off && run.heaterOff(ctx) == nil { // or it is seen, and tried, again
				limit, vigil.due, why = nil, nil, "it was switched off at the printer"
			}
		case <-limit:
			limit, why = nil, "nobody answered"
			if err := run.heaterOff(ctx); err != nil {
				run.bench.runner.Log.Error("heater off at the attended limit", "run", run.record.ID, "err", err)
				limit, stop = humanTimer(run.bench.runner.PollEvery) // and again, until it is
			}
		}
	}
}

// named is the name of a cooling during a question. During one of the runner's own it lies between an act's wish and its
// beginning: no replay is handed it, as none is handed the question.
func named(q routines.Question, why string) string {
	if strings.HasPrefix(q.Name, ownPrefix) {
		return ownPrefix + why
	}
	return why
}

// heaterOff is done even where the question is given up meanwhile; only a stop, which does the same, ends it.
func (run *run) heaterOff(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), payLimit)
	defer cancel()
	return run.bench.pay(ctx, heat)
}

// pose stores the question, unless it is in the store from an earlier life.
func (run *run) pose(ctx context.Context, q routines.Question, entries []routines.Entry, open bool) (logbook.Event, error) {
	if open && run.resumed != nil {
		return *run.resumed, nil
	}
	body, err := json.Marshal(q)
	if err != nil {
		return logbook.Event{}, fmt.Errorf("print the question: %w", err)
	}
	run.number++
	step, err := run.commit(ctx, Asking, logbook.Step{Entries: entriesOf(entries),
		Events: []logbook.Event{{Kind: string(routines.Asked), Name: q.Name, Question: run.number, Body: body}}})
	if err != nil {
		return logbook.Event{}, fmt.Errorf("store the question: %w", err)
	}
	return step.Events[0], nil
}

// goneCold keeps the fact that the heater went off: heat, motion and set-asides need a person anew.
func (run *run) goneCold(ctx context.Context, why string) error {
	run.attended, run.setAside, run.hot, run.warm, run.handsDue = false, false, false, routines.Heat{}, true
	_, err := run.commit(ctx, run.record.State, logbook.Step{Events: []logbook.Event{{Kind: string(routines.Cooled), Name: why}}})
	if err != nil {
		return fmt.Errorf("store that the heater went off: %w", err)
	}
	return nil
}

// attendedLeft is how long a heater of ours may stay on while a question waits; 0 where none is on.
func (run *run) attendedLeft() time.Duration {
	if !run.hot {
		return 0
	}
	return run.bench.runner.AttendedLimit
}
