package routines

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
)

// A Fact is one thing that happened in a run: a row of the logbook's event table.
type Fact struct {
	Kind FactKind        `json:"kind"`
	Name string          `json:"name"`
	Body json.RawMessage `json:"body,omitempty"`
}

// FactKind says what a Fact is about.
type FactKind string

// The kinds of Fact that a replay hands back.
const (
	Asked    FactKind = "asked"
	Answered FactKind = "answered"
	Begun    FactKind = "begun"
	Done     FactKind = "done"
	Cooled   FactKind = "cooled" // the heater went off since the fact before it: nobody answered, or the agent was away
	Whole    FactKind = "whole"  // up to here another run may take over
)

// Errors a replay can end with. Both leave the run interrupted; neither touches the printer.
var (
	ErrChanged  = errors.New("the program changed since this run began")
	ErrHalfDone = errors.New("the run was cut off in the middle of an act, which is not done again")
)

// Need is what must hold before an Act touches the printer.
type Need int

// What an Act needs.
const (
	Looks  Need = iota // it only reads
	Writes             // it writes settings; nothing moves and nothing heats
	Moves              // it moves or feeds: presence, set-asides, heat as wished, hands away
)

// Host is what a run stands on while it is live. The runner gives it; every method ends when ctx does.
type Host interface {
	// Commit stores a fact and the entries recorded before it in one transaction; it returns when they are on the disk.
	Commit(ctx context.Context, f Fact, entries []Entry) error
	// Answer stores the question with the entries, waits for the first durable answer and returns it. cooled says that
	// the heater went off meanwhile. open says that the question is in the store already, from an earlier life.
	Answer(ctx context.Context, q Question, entries []Entry, open bool) (answer json.RawMessage, cooled bool, err error)
	// Ready brings about what an Act needs, with what is to be hot at its temperature.
	Ready(ctx context.Context, need Need, hot Heat) error
	// Cool switches the heaters off and waits until the printer's report says so.
	Cool(ctx context.Context) error
	Printer() Printer
}

// A Run is one execution of a routine. Its own facts are its journal: on a restart Do is simply called again, and its
// past facts are handed back in order until the present is reached.
type Run struct {
	Ctx context.Context // ends with the run; its cause says why
	Begin
	host    Host
	past    []Fact // still to be replayed
	entries []Entry
	hot     Heat
	cold    bool
}

// Heat is a wish for temperatures, °C. 0 is off.
type Heat struct{ NozzleC, BedC float64 }

// NewRun makes a run that replays past and then goes on with host.
func NewRun(ctx context.Context, b Begin, past []Fact, host Host) *Run {
	return &Run{Ctx: ctx, Begin: b, past: past, host: host}
}

// Inputs reads the inputs of a run into T, whose JSON names are the fields' names.
func Inputs[T any](b Begin) (T, error) {
	var in T
	if err := json.Unmarshal(b.Inputs, &in); err != nil {
		return in, fmt.Errorf("read the inputs: %w", err)
	}
	return in, nil
}

// Ask asks the person and returns the answer. A past answer is recalled and not asked for again.
func Ask[T any](r *Run, q Question) (T, error) {
	var answer T
	raw, err := r.ask(q)
	if err != nil {
		return answer, fmt.Errorf("ask %q: %w", q.Name, err)
	}
	if err := json.Unmarshal(raw, &answer); err != nil {
		return answer, fmt.Errorf("read the answer to %q: %w", q.Name, err)
	}
	return answer, nil
}

func (r *Run) ask(q Question) (json.RawMessage, error) {
	asked, err := r.recall(Asked, q.Name)
	if err != nil {
		return nil, err
	}
	if asked != nil && len(r.past) > 0 {
		f, err := r.recall(Answered, q.Name)
		if err != nil {
			return nil, err
		}
		return f.Body, nil
	}
	raw, cooled, err := r.host.Answer(r.Ctx, q, r.take(), asked != nil)
	r.cold = r.cold || cooled
	return raw, err
}

// Act does something that touches the printer or the records, once. A past deed is recalled and not done again; one
// that was begun and not done ends the run with ErrHalfDone.
func Act[T any](r *Run, name string, need Need, deed func(context.Context, Printer) (T, error)) (T, error) {
	var result T
	fail := func(err error) (T, error) { return result, fmt.Errorf("%s: %w", name, err) }

	begun, err := r.recall(Begun, name)
	if err != nil {
		return fail(err)
	}
	if begun != nil && need == Moves {
		r.cold = false
	}
	if begun != nil {
		done, err := r.recall(Done, name)
		if err != nil {
			return fail(err)
		}
		if done == nil {
			return fail(ErrHalfDone)
		}
		if err := json.Unmarshal(done.Body, &result); err != nil {
			return fail(fmt.Errorf("recall: %w", err))
		}
		return result, nil
	}

	if err := r.host.Ready(r.Ctx, need, r.hot); err != nil {
		return fail(err)
	}
	if err := r.host.Commit(r.Ctx, Fact{Kind: Begun, Name: name}, r.take()); err != nil {
		return fail(err)
	}
	if need == Moves {
		r.cold = false
	}
	if result, err = deed(r.Ctx, r.host.Printer()); err != nil {
		return fail(err)
	}
	body, err := json.Marshal(result)
	if err != nil {
		return fail(fmt.Errorf("print: %w", err))
	}
	if err := r.host.Commit(r.Ctx, Fact{Kind: Done, Name: name, Body: body}, nil); err != nil {
		return fail(err)
	}
	return result, nil
}

// Hot wishes for temperatures. The next live Act that moves fulfils them. A wish for none is fulfilled at once, since plastic
// cooks while a person reads.
func (r *Run) Hot(h Heat) error {
	r.hot = h
	if h != (Heat{}) || len(r.past) > 0 {
		return nil
	}
	if err := r.host.Cool(r.Ctx); err != nil {
		return fmt.Errorf("heater off: %w", err)
	}
	return nil
}

// WentCold reports whether the nozzle was let cool while a question waited, since the last Act that moved.
func (r *Run) WentCold() bool { return r.cold }

// Whole says that everything up to here can be taken over by another run.
func (r *Run) Whole(name string) error {
	if f, err := r.recall(Whole, name); f != nil || err != nil {
		return err
	}
	return r.host.Commit(r.Ctx, Fact{Kind: Whole, Name: name}, r.take())
}

// Record keeps an entry for the logbook. It is stored in one transaction with the run's next fact, or with its end.
func (r *Run) Record(e Entry) { r.entries = append(r.entries, e) }

// Recorded hands over the entries that wait for the run's end.
func (r *Run) Recorded() []Entry { return r.take() }

func (r *Run) take() []Entry {
	e := r.entries
	r.entries = nil
	return e
}

// recall hands back the next past fact, which must be the one named, or nil where the past is used up. The entries
// recorded before a past fact were stored with it.
func (r *Run) recall(kind FactKind, name string) (*Fact, error) {
	if len(r.past) == 0 {
		return nil, nil
	}
	f := r.past[0]
	if f.Kind != kind || f.Name != name {
		return nil, fmt.Errorf("%w: it has %s %q where %s %q is due", ErrChanged, f.Kind, f.Name, kind, name)
	}
	r.past, r.entries = r.past[1:], nil
	for len(r.past) > 0 && r.past[0].Kind == Cooled {
		r.past, r.cold = r.past[1:], true
	}
	return &f, nil
}
