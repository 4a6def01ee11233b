package feed_test

import (
	"context"
	"encoding/json"
	"errors"
	"reflect"
	"testing"

	"fettle/routines"
	"fettle/routines/feed"
	"fettle/serialio/gcode"
)

// errNext stops a replayed run at the first thing that is no longer in its past.
var errNext = errors.New("the past is used up")

// stopAtNext is a Host that notes the next fact of a run and ends it there.
type stopAtNext struct {
	bench *bench
	next  routines.Fact
	moved bool
}

func (s *stopAtNext) Commit(_ context.Context, f routines.Fact, _ []routines.Entry) error {
	s.next = f
	return errNext
}

func (s *stopAtNext) Answer(_ context.Context, q routines.Question, _ []routines.Entry, open bool) (json.RawMessage, bool, error) {
	s.next = routines.Fact{Kind: routines.Asked, Name: q.Name}
	if open {
		s.next.Kind = routines.Answered
	}
	return nil, false, errNext
}

func (s *stopAtNext) Ready(context.Context, routines.Need, routines.Heat) error { return nil }
func (s *stopAtNext) Cool(context.Context) error                                { return nil }
func (s *stopAtNext) Printer() routines.Printer {
	s.moved = true
	return s.bench
}

// everyPrefix replays each prefix of a finished run and wants the run to reach the same next fact, and the same finding
// at the end. What was cut off in the middle of an act must end as that, and never touch the printer.
func everyPrefix(t *testing.T, routine routines.Routine, b *bench, begin routines.Begin, finding routines.Finding) {
	t.Helper()
	for k := range b.facts {
		past := append([]routines.Fact(nil), b.facts[:k]...)
		host := &stopAtNext{bench: b}
		_, err := routine.Do(routines.NewRun(context.Background(), begin, past, host))
		want := b.facts[k]
		switch {
		case host.moved:
			t.Errorf("prefix %d: the printer was touched", k)
		case k > 0 && b.facts[k-1].Kind == routines.Begun:
			if !errors.Is(err, routines.ErrHalfDone) {
				t.Errorf("prefix %d, cut off in %q: %v", k, want.Name, err)
			}
		case !errors.Is(err, errNext):
			t.Errorf("prefix %d: %v", k, err)
		case host.next.Name != want.Name || (host.next.Kind != want.Kind && want.Kind != routines.Cooled):
			t.Errorf("prefix %d reaches %s %q, want %s %q", k, host.next.Kind, host.next.Name, want.Kind, want.Name)
		}
	}
	again, err := routine.Do(routines.NewRun(context.Background(), begin, b.facts, &stopAtNext{bench: b}))
	if err != nil || !reflect.DeepEqual(again, finding) {
		t.Errorf("the whole past gives %+v, %v; want %+v", again, err, finding)
	}
}

func TestEveryPrefixOfAFinishedRunReachesTheSameNextFact(t *testing.T) {
	inUse, stored := 900.0, 500.0
	for _, tt := range []struct {
		name, inputs string
		truth        float64
		alter        func(*bench)
		ends         string
	}{
		{"change, verified", `{"gauge":"caliper"}`, 0.984, nil, "change"},
		{"leave", `{"gauge":"caliper","passes":2}`, 1, nil, "leave"},
		{"cannot tell", `{"gauge":"mm_rule"}`, 0.995, func(b *bench) { b.says["another 2"] = `{"another":false}` }, "cannot_tell"},
		{"ratio", `{"gauge":"caliper"}`, 0.95, func(b *bench) { b.reports = false }, "ratio"},
		{"marks that went in", `{}`, 2, nil, "change"},
		{"a mark that cooled", `{"gauge":"caliper"}`, 0.984, func(b *bench) { b.cools["mark 1"] = true }, "change"},
		{"filament came out", `{}`, 1, func(b *bench) { b.says["leftover 1"] = `{"instead":"filament_came_out"}` }, "failed"},
		{"unsaved settings", `{"gauge":"caliper"}`, 0.95, func(b *bench) {
			b.differ = []gcode.Difference{{Word: "M204", Letter: "T", Tool: -1, InUse: &inUse, Stored: &stored}}
		}, "change"},
		{"left by the person", `{"gauge":"caliper"}`, 0.95, func(b *bench) { b.says["apply"] = `{"apply":"leave"}` }, "change"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			b := newBench(t, 93, tt.truth)
			if tt.alter != nil {
				tt.alter(b)
			}
			order := begin(t, direct(), tt.inputs)
			finding := b.run(order)
			if finding.Kind != tt.ends {
				t.Fatalf("it ended with %s, want %s", finding.Kind, tt.ends)
			}
			everyPrefix(t, feed.Check(), b, order, finding)
		})
	}
}

func TestPastOfAnotherProgramIsNotResumed(t *testing.T) {
	past := []routines.Fact{{Kind: routines.Asked, Name: "something else"}}
	_, err := feed.Check().Do(routines.NewRun(context.Background(), begin(t, direct(), `{}`), past, &stopAtNext{}))
	if !errors.Is(err, routines.ErrChanged) {
		t.Errorf("got %v, want ErrChanged", err)
	}
}
