// Package replay holds a routine, in tests, to what a run rests on: that it is its own facts. Each prefix of what a finished
// run left is handed back to the routine, which must go on to the very next fact. And to what it told: page and scripts read
// that, and it must not change by accident.
//
// Owns: the verdict on a routine and the facts of one of its finished runs; how a run is compared with one that was kept.
// Guarantees: a prefix that ends in the middle of an act must end as that; no prefix touches a printer; the whole past gives
// the same finding.
// Does not do: bring a run about; each routine's own tests have a bench for that.
// Read next: ../run.go (what a run is), golden.go.
package replay

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"slices"

	"fettle/routines"
)

// A Test is told what went otherwise: a testing.TB.
type Test interface {
	Helper()
	Error(said ...any)
}

// EveryPrefix replays each prefix of a finished run's facts, and all of them.
func EveryPrefix(t Test, routine routines.Routine, begin routines.Begin, facts []routines.Fact, finding routines.Finding) {
	t.Helper()
	for k := range facts {
		if fault := prefix(routine, begin, facts, k); fault != "" {
			t.Error(fmt.Sprintf("prefix %d of %d: %s", k, len(facts), fault))
		}
	}
	again, err := routine.Do(routines.NewRun(context.Background(), begin, slices.Clone(facts), &ending{}))
	if err != nil || !reflect.DeepEqual(again, finding) {
		t.Error(fmt.Sprintf("the whole past gives %+v, %v; want %+v", again, err, finding))
	}
}

// prefix replays the first k facts.
func prefix(routine routines.Routine, begin routines.Begin, facts []routines.Fact, k int) string {
	host, want := &ending{}, facts[k]
	_, err := routine.Do(routines.NewRun(context.Background(), begin, slices.Clone(facts[:k]), host))
	switch {
	case host.touched:
		return "the printer was touched"
	case k > 0 && facts[k-1].Kind == routines.Begun:
		if !errors.Is(err, routines.ErrHalfDone) {
			return fmt.Sprintf("cut off in %q: %v", want.Name, err)
		}
	case !errors.Is(err, errEnd):
		return fmt.Sprintf("it does not go on to %s %q: %v", want.Kind, want.Name, err)
	case host.next.Name != want.Name || (host.next.Kind != want.Kind && want.Kind != routines.Cooled):
		return fmt.Sprintf("it reaches %s %q, want %s %q", host.next.Kind, host.next.Name, want.Kind, want.Name)
	}
	return ""
}

// errEnd ends a replayed run at the first thing that is no longer in its past.
var errEnd = errors.New("the past is used up")

// ending is a Host that notes the next fact of a run and ends it there.
type ending struct {
	next    routines.Fact
	touched bool
}

func (e *ending) Commit(_ context.Context, f routines.Fact, _ []routines.Entry) error {
	e.next = f
	return errEnd
}

// Answer is asked for the answer alone where the question was asked before.
func (e *ending) Answer(_ context.Context, q routines.Question, _ []routines.Entry, open bool) (json.RawMessage, bool, error) {
	e.next = routines.Fact{Kind: routines.Asked, Name: q.Name}
	if open {
		e.next.Kind = routines.Answered
	}
	return nil, false, errEnd
}

func (e *ending) Ready(context.Context, routines.Need, routines.Heat) error { return nil }
func (e *ending) Cool(context.Context) error                                { return nil }

// Printer is what a run reaches for whose act was begun, which here none is.
func (e *ending) Printer() routines.Printer {
	e.touched = true
	return nil
}
