package cable_test

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"fettle/routines"
	"fettle/routines/cable"
	"fettle/routines/replay"
	"fettle/serialio/gcode"
)

// bench is a host and a printer at the far end of a cable that damages a share of what goes over it.
type bench struct {
	routines.Printer
	hit     float64 // share of lines that are sent again
	gaveUp  bool
	fails   error
	facts   []routines.Fact
	needs   []routines.Need
	entries []routines.Entry
	lines   []string
}

func (b *bench) Commit(_ context.Context, f routines.Fact, _ []routines.Entry) error {
	b.facts = append(b.facts, f)
	return nil
}

func (b *bench) Answer(context.Context, routines.Question, []routines.Entry, bool) (json.RawMessage, bool, error) {
	return nil, false, errors.New("a cable check asks for nothing")
}

func (b *bench) Ready(_ context.Context, need routines.Need, hot routines.Heat) error {
	b.needs = append(b.needs, need)
	if hot != (routines.Heat{}) {
		return errors.New("a cable check wishes for no heat")
	}
	return nil
}

func (b *bench) Cool(context.Context) error { return nil }

func (b *bench) Stream(_ context.Context, p gcode.Program) (routines.Streamed, error) {
	random := rand.New(rand.NewPCG(5, 6))
	done := routines.Streamed{SlowestMS: 12, Remarks: []string{}}
	for s := range p.Steps {
		text := s.Block.String()
		b.lines = append(b.lines, text)
		done.OfLines++
		if done.Lines++; random.Float64() < b.hit {
			done.SentAgain++
		}
		done.Bytes += int64(len(text)) + 1
	}
	done.TookS = float64(done.Lines) * 0.004
	if b.gaveUp {
		done.Lines /= 2
		return done, errors.Join(routines.ErrGaveUp, errors.New("out of step"))
	}
	return done, b.fails
}

// host is the bench as a run sees it: both have a method named Printer.
type host struct{ *bench }

func (h host) Printer() routines.Printer { return h.bench }

func begin(t *testing.T, inputs string) routines.Begin {
	t.Helper()
	filled, err := routines.ValidateInputs(cable.Check().Inputs, json.RawMessage(inputs))
	if err != nil {
		t.Fatal(err)
	}
	b := routines.Begin{Inputs: filled}
	if err := cable.Check().Check(b); err != nil {
		t.Fatal(err)
	}
	return b
}

func (b *bench) run(t *testing.T, order routines.Begin) (routines.Finding, error) {
	t.Helper()
	r := routines.NewRun(context.Background(), order, nil, host{b})
	f, err := cable.Check().Do(r)
	b.entries = r.Recorded()
	return f, err
}

func TestACableIsFoundForWhatItIs(t *testing.T) {
	for _, c := range []struct {
		hit    float64
		gaveUp bool
		kind   string
	}{{0, false, cable.Fit}, {1e-5, false, cable.Fit}, {1e-4, false, cable.Fit}, {0.004, false, cable.Noisy}, {0.02, false, cable.Noisy}, {0.3, false, cable.Noisy}, {0.3, true, cable.Noisy}} {
		b := &bench{hit: c.hit, gaveUp: c.gaveUp}
		f, err := b.run(t, begin(t, `{"lines":20000}`))
		if err != nil || f.Kind != c.kind || len(b.entries) != 1 || b.entries[0].Kind != "cable_check" {
			t.Fatalf("%g hit: %+v, %v; want %s", c.hit, f, err, c.kind)
		}
		var body struct {
			Finding  string
			Streamed routines.Streamed
		}
		if err := json.Unmarshal(b.entries[0].Body, &body); err != nil || body.Finding != c.kind || body.Streamed.OfLines != 20_000 || *b.entries[0].Value != value(f, "lines_per_s") {
			t.Errorf("the entry: %s, %v", b.entries[0].Body, err)
		}
		if !reflect.DeepEqual(b.needs, []routines.Need{routines.Looks}) {
			t.Errorf("it needs %v", b.needs)
		}
	}
}

func value(f routines.Finding, name string) float64 {
	for _, v := range f.Values {
		if v.Name == name {
			return v.Value
		}
	}
	return math.NaN()
}

func TestAnyOtherEndOfTheStreamIsTheRuns(t *testing.T) {
	gone := errors.New("unplugged")
	b := &bench{fails: gone}
	if _, err := b.run(t, begin(t, `{}`)); !errors.Is(err, gone) || len(b.entries) > 0 {
		t.Errorf("%v, %v", err, b.entries)
	}
}

// What is sent says F and nothing else, each time the same, as long as a line of a piece, and ends plain.
func TestWhatIsSentIsHarmless(t *testing.T) {
	b := &bench{}
	if _, err := b.run(t, begin(t, `{}`)); err != nil || len(b.lines) != 5000 {
		t.Fatal(len(b.lines), err)
	}
	bytes, seen := 0, map[string]bool{}
	for _, line := range b.lines {
		block, err := gcode.Parse(line)
		f, ok := block.Value('F')
		if err != nil || !block.Is("G1") || len(block.Words) != 2 || !ok || f < 600 || f > 6000 || seen[line] || len(line) > 47 {
			t.Fatalf("%q: %v", line, err)
		}
		seen[line] = true
		bytes += len("N1234 ") + len(line) + len("*123\n")
	}
	if mean := float64(bytes) / 5000; mean < 30 || mean > 40 {
		t.Errorf("a line is %.1f bytes long", mean)
	}
	if last := b.lines[4999]; last != "G1 F1500" {
		t.Errorf("it leaves %q behind", last)
	}
	again := &bench{}
	if _, err := again.run(t, begin(t, `{}`)); err != nil || !reflect.DeepEqual(again.lines, b.lines) {
		t.Error("another time it sends other lines")
	}
}

func TestInputsAreHeldToTheirLimits(t *testing.T) {
	for _, bad := range []string{`{"lines":499}`, `{"lines":200001}`, `{"lines":"many"}`, `{"line":5000}`, `{"lines":null,"x":1}`} {
		if _, err := routines.ValidateInputs(cable.Check().Inputs, json.RawMessage(bad)); err == nil {
			t.Errorf("%s is let through", bad)
		}
	}
	var field *routines.FieldError
	if err := cable.Check().Check(routines.Begin{Inputs: json.RawMessage(`{"lines":600.5}`)}); !errors.As(err, &field) || !strings.Contains(field.Detail, "whole") {
		t.Error(err)
	}
}

// Each prefix of a finished check is replayed: it reaches the same next fact, and what was cut off in the middle is not
// sent again.
func TestEveryPrefixReachesTheSameNextFact(t *testing.T) {
	order := begin(t, `{"lines":700}`)
	b := &bench{}
	finding, err := b.run(t, order)
	if err != nil || len(b.facts) != 2 {
		t.Fatal(b.facts, err)
	}
	replay.EveryPrefix(t, cable.Check(), order, b.facts, finding)
}
