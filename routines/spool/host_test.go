package spool_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"testing"

	"fettle/routines"
	"fettle/routines/spool"
)

// bench is a host and the person with the caliper.
type bench struct {
	read      func(q routines.Question) float64
	questions []routines.Question
	facts     []routines.Fact
	entries   []routines.Entry
}

// readings says these one after the other.
func readings(mm ...float64) *bench {
	b := &bench{}
	b.read = func(routines.Question) float64 { return mm[len(b.questions)-1] }
	return b
}

func (b *bench) Commit(context.Context, routines.Fact, []routines.Entry) error {
	return errors.New("reading a caliper touches no printer")
}

func (b *bench) Ready(context.Context, routines.Need, routines.Heat) error {
	return errors.New("reading a caliper needs no printer")
}

func (b *bench) Cool(context.Context) error { return errors.New("nothing is hot") }

func (b *bench) Printer() routines.Printer { return nil }

func (b *bench) Answer(_ context.Context, q routines.Question, entries []routines.Entry, _ bool) (json.RawMessage, bool, error) {
	b.questions = append(b.questions, q)
	b.entries = append(b.entries, entries...)
	raw, err := q.Validate(json.RawMessage(fmt.Sprintf(`{"across_mm":%v}`, b.read(q))))
	if err != nil {
		return nil, false, fmt.Errorf("the answer to %q: %w", q.Name, err)
	}
	b.facts = append(b.facts, routines.Fact{Kind: routines.Asked, Name: q.Name}, routines.Fact{Kind: routines.Answered, Name: q.Name, Body: raw})
	return raw, false, nil
}

func (b *bench) run(t testing.TB, order routines.Begin) routines.Finding {
	t.Helper()
	r := routines.NewRun(context.Background(), order, nil, b)
	f, err := spool.Diameter().Do(r)
	if err != nil {
		t.Fatal(err)
	}
	b.entries = append(b.entries, r.Recorded()...)
	return f
}

// entry is the only one, with its body.
func (b *bench) entry(t testing.TB) (routines.Entry, body) {
	t.Helper()
	if len(b.entries) != 1 {
		t.Fatalf("entries: %+v", b.entries)
	}
	var said body
	if err := json.Unmarshal(b.entries[0].Body, &said); err != nil {
		t.Fatal(err)
	}
	return b.entries[0], said
}

// body is what a script reads of an entry.
type body struct {
	Finding string    `json:"finding"`
	ReadMM  []float64 `json:"read_mm"`
	Again   []struct {
		Reading int     `json:"reading"`
		FirstMM float64 `json:"first_mm"`
	} `json:"again"`
	Strays []int  `json:"strays"`
	Spool  string `json:"spool"`
}

// fitted is a printer for filament of that size.
func fitted(diameterMM float64) routines.Setup {
	return routines.Setup{Version: 1, Drive: "direct", FilamentDiameterMM: diameterMM, NozzleBoreMM: 0.4, Liner: "all_metal", NozzleMaxC: 280, FeedMaxMMPerS: 10}
}

func begin(t testing.TB, setup routines.Setup, inputs string) routines.Begin {
	t.Helper()
	b, err := order(setup, inputs)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func order(setup routines.Setup, inputs string) (routines.Begin, error) {
	filled, err := routines.ValidateInputs(spool.Diameter().Inputs, json.RawMessage(inputs))
	if err != nil {
		return routines.Begin{}, err
	}
	b := routines.Begin{Inputs: filled, Setup: setup, Material: routines.Material{ID: "plum-pla", Name: "Plum PLA (invented)", NozzleC: 210, NozzleMinC: 190, NozzleMaxC: 230}}
	return b, spool.Diameter().Check(b)
}

func value(t testing.TB, f routines.Finding, name string) routines.Value {
	t.Helper()
	for _, v := range f.Values {
		if v.Name == name {
			return v
		}
	}
	t.Fatalf("no %s in %+v", name, f.Values)
	return routines.Value{}
}
