package replay_test

import (
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"
	"testing"

	"fettle/routines"
	"fettle/routines/replay"
)

// told counts what it is told.
type told struct{ said []string }

func (t *told) Helper()           {}
func (t *told) Error(said ...any) { t.said = append(t.said, fmt.Sprint(said...)) }

// yes is a person who answers everything with yes, beside a printer that nothing is asked of.
type yes struct {
	routines.Printer
	facts []routines.Fact
}

func (y *yes) Commit(_ context.Context, f routines.Fact, _ []routines.Entry) error {
	y.facts = append(y.facts, f)
	return nil
}

func (y *yes) Answer(_ context.Context, q routines.Question, _ []routines.Entry, _ bool) (json.RawMessage, bool, error) {
	raw := json.RawMessage(`{"yes":true}`)
	y.facts = append(y.facts, routines.Fact{Kind: routines.Asked, Name: q.Name}, routines.Fact{Kind: routines.Answered, Name: q.Name, Body: raw})
	return raw, false, nil
}

func (y *yes) Ready(context.Context, routines.Need, routines.Heat) error { return nil }
func (y *yes) Cool(context.Context) error                                { return nil }

type host struct{ *yes }

func (h host) Printer() routines.Printer { return h.yes.Printer }

// twice asks, acts and asks again; name says what is asked in the n-th life, and headline what is found.
func twice(name, headline func(life int) string) routines.Routine {
	life := 0
	return routines.Routine{Name: "twice", Program: "twice 1", Do: func(r *routines.Run) (routines.Finding, error) {
		life++
		now := life
		if _, err := routines.Ask[struct{}](r, routines.Question{Name: "first"}); err != nil {
			return routines.Finding{}, err
		}
		if _, err := routines.Act(r, "look", routines.Looks, func(context.Context, routines.Printer) (int, error) { return 7, nil }); err != nil {
			return routines.Finding{}, err
		}
		_, err := routines.Ask[struct{}](r, routines.Question{Name: name(now)})
		return routines.Finding{Kind: "found", Headline: headline(now)}, err
	}}
}

func TestARoutineThatIsNotItsFactsIsNoticed(t *testing.T) {
	same := func(int) string { return "second" }
	fickle := func(life int) string { return fmt.Sprint("in life ", life) }
	for _, c := range []struct {
		what    string
		routine routines.Routine
		faults  int
	}{
		{"a pure one", twice(same, same), 0},
		{"one that asks something else each time", twice(fickle, same), 3}, // before it, before its answer, and with the whole past
		{"one that finds something else each time", twice(same, fickle), 1},
	} {
		y := &yes{}
		finding, err := c.routine.Do(routines.NewRun(t.Context(), routines.Begin{}, nil, host{y}))
		if err != nil || len(y.facts) != 6 {
			t.Fatal(len(y.facts), err)
		}
		heard := &told{}
		replay.EveryPrefix(heard, c.routine, routines.Begin{}, y.facts, finding)
		if len(heard.said) != c.faults {
			t.Errorf("%s: told of %d faults, want %d: %q", c.what, len(heard.said), c.faults, heard.said)
		}
	}
}

func TestARunThatToldSomethingElseIsNoticed(t *testing.T) {
	file := filepath.Join(t.TempDir(), "kept.json")
	says := func(headline string, anew bool) int {
		heard := &told{}
		replay.Golden(heard, file, anew, replay.Whole{Finding: routines.Finding{Headline: headline}})
		return len(heard.said)
	}
	if nothing, anew, same, other := says("a", false), says("a", true), says("a", false), says("b", false); nothing != 1 || anew+same != 0 || other != 1 {
		t.Errorf("told of %d faults without a file, %d written anew, %d of the same, %d of another", nothing, anew, same, other)
	}
}
