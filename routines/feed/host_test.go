package feed_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"fettle/routines"
	"fettle/routines/feed"
	"fettle/serialio/gcode"
)

// bench is a simulated printer with a person in front of it: a Host, and a Printer that feeds what is commanded times a
// true ratio, in proportion to its steps/mm. The person reads the truth plus an error of their own.
type bench struct {
	t       *testing.T
	reports bool    // tells its steps/mm
	steps   float64 // in use
	truth   float64 // mm fed of 1 mm commanded at the steps it began with
	began   float64
	differ  []gcode.Difference
	writes  func(b *bench, from, to float64) routines.Written
	says    map[string]string // answers by the question's name
	readMM  func(pass int) float64
	cools   map[string]bool // questions during which the nozzle cools
	refuses bool            // a cold feed, prevented by the firmware

	errs    *mistakes // of the person's hands and gauge; nil: none
	inMM    float64   // fed since the run began, truly
	sinceMM float64   // and up to the last mark, near flag or first cut
	farMM   float64   // where the far flag truly is then, from the inlet

	marks, feds []float64
	facts       []routines.Fact
	questions   []routines.Question
	entries     []routines.Entry
	did         []string // what the printer was made to do, in order
	kept        []gcode.Difference
	hot         bool
}

func newBench(t *testing.T, steps, truth float64) *bench {
	return &bench{t: t, reports: true, steps: steps, began: steps, truth: truth, says: map[string]string{}, cools: map[string]bool{}}
}

func (b *bench) Commit(_ context.Context, f routines.Fact, entries []routines.Entry) error {
	b.facts = append(b.facts, f)
	b.entries = append(b.entries, entries...)
	return nil
}

func (b *bench) Answer(_ context.Context, q routines.Question, entries []routines.Entry, _ bool) (json.RawMessage, bool, error) {
	b.entries = append(b.entries, entries...)
	b.questions = append(b.questions, q)
	raw, err := q.Validate(json.RawMessage(b.answer(q)))
	if err != nil {
		return nil, false, fmt.Errorf("the person's answer to %q: %w", q.Name, err)
	}
	b.facts = append(b.facts, routines.Fact{Kind: routines.Asked, Name: q.Name})
	if b.cools[q.Name] {
		b.facts = append(b.facts, routines.Fact{Kind: routines.Cooled, Name: q.Name})
	}
	b.facts = append(b.facts, routines.Fact{Kind: routines.Answered, Name: q.Name, Body: raw})
	b.note(q, raw)
	return raw, b.cools[q.Name], nil
}

// answer is what the person says: what the test has laid down for it, or the obvious.
func (b *bench) answer(q routines.Question) string {
	if said, ok := b.says[q.Name]; ok {
		return said
	}
	switch kind, _, _ := strings.Cut(q.Name, " "); kind {
	case "mark":
		return proposedMark(b.t, q)
	case "leftover":
		return b.leftover()
	case "flags", "near", "far", "piece":
		return b.otherWay(kind)
	case "differs":
		return `{"unsaved":"keep_unsaved"}`
	case "strand":
		return `{"strand":"smooth"}`
	case "apply":
		return `{"apply":"write"}`
	}
	return fmt.Sprintf(`{%q:true}`, q.Fields[0].Name)
}

// proposedMark is the answer of a person who sets the mark where it is proposed.
func proposedMark(t *testing.T, q routines.Question) string {
	t.Helper()
	raw, err := json.Marshal(q.Shown)
	if err != nil {
		t.Fatalf("what is shown with %q: %v", q.Name, err)
	}
	var shown struct {
		MarkMM float64 `json:"mark_mm"`
	}
	if err := json.Unmarshal(raw, &shown); err != nil || shown.MarkMM <= 0 {
		t.Fatalf("%q proposes no mark: %s, %v", q.Name, raw, err)
	}
	return fmt.Sprintf(`{"mark_mm":%g}`, shown.MarkMM)
}

func (b *bench) leftover() string {
	n := len(b.feds)
	left := b.marks[len(b.marks)-1] - (b.inMM - b.sinceMM)
	left = b.errs.leftover(left)
	if b.readMM != nil {
		left += b.readMM(n)
	}
	if left < 0 {
		return `{"instead":"mark_went_in"}`
	}
	return fmt.Sprintf(`{"leftover_mm":%.9f}`, left)
}

func (b *bench) note(q routines.Question, raw json.RawMessage) {
	var mark struct {
		MarkMM float64 `json:"mark_mm"`
	}
	if strings.HasPrefix(q.Name, "mark ") && json.Unmarshal(raw, &mark) == nil {
		b.marks = append(b.marks, mark.MarkMM)
		b.sinceMM = b.inMM
		b.errs.setMark()
	}
	if strings.HasPrefix(q.Name, "cut ") {
		b.sinceMM = b.inMM
	}
}

func (b *bench) Ready(_ context.Context, need routines.Need, hot routines.Heat) error {
	if need == routines.Moves {
		b.hot = hot.NozzleC > 0
		if !b.hot {
			b.did = append(b.did, "ready cold")
			return nil
		}
		b.did = append(b.did, fmt.Sprintf("ready at %g", hot.NozzleC))
	}
	return nil
}

func (b *bench) Cool(context.Context) error {
	b.hot = false
	b.did = append(b.did, "cool")
	return nil
}

func (b *bench) Printer() routines.Printer { return b }

func (b *bench) Settings(context.Context) (gcode.Settings, error) {
	if !b.reports {
		return gcode.Settings{}, nil
	}
	return gcode.ParseSettings([]string{fmt.Sprintf("M92 X80.00 Y80.00 Z400.00 E%.2f", b.steps)}), nil
}

func (b *bench) Feed(_ context.Context, lengthMM, speedMMPerS float64) (routines.FeedDone, error) {
	if !b.hot {
		return routines.FeedDone{}, errors.New("it is to feed with no heat wished for")
	}
	return b.fed(lengthMM, speedMMPerS), nil
}

func (b *bench) fed(lengthMM, speedMMPerS float64) routines.FeedDone {
	b.did = append(b.did, fmt.Sprintf("feed %g at %.3f", lengthMM, speedMMPerS))
	b.inMM += lengthMM * b.truth * b.steps / b.began
	if lengthMM > 10 {
		b.feds = append(b.feds, lengthMM*b.truth*b.steps/b.began)
	}
	return routines.FeedDone{CommandedMM: lengthMM, SpeedMMPerS: speedMMPerS, NozzleC: 210, Prevented: b.refuses}
}

func (b *bench) FeedCold(_ context.Context, lengthMM, speedMMPerS float64) (routines.FeedDone, error) {
	if b.hot {
		return routines.FeedDone{}, errors.New("it is hot, and fed cold")
	}
	b.did = append(b.did, "lift the block")
	done := b.fed(lengthMM, speedMMPerS)
	b.did = append(b.did, "set the block")
	return done, nil
}

func (b *bench) AwaitCool(_ context.Context, belowC float64) error {
	if b.hot {
		return errors.New("the heater is on, and it is waited for cold")
	}
	b.did = append(b.did, fmt.Sprintf("await %g", belowC))
	return nil
}

func (b *bench) Stream(context.Context, gcode.Program) (routines.Streamed, error) {
	return routines.Streamed{}, errors.New("a feed check streams nothing")
}

func (b *bench) RestoreSetAsides(context.Context) error {
	b.did = append(b.did, "restore")
	return nil
}

func (b *bench) CompareStored(context.Context) ([]gcode.Difference, error) {
	b.did = append(b.did, "compare")
	return b.differ, nil
}

func (b *bench) WriteSteps(_ context.Context, from, to float64, keep []gcode.Difference) (routines.Written, error) {
	b.did = append(b.did, fmt.Sprintf("write %g to %g", from, to))
	b.kept = keep
	if b.writes != nil {
		return b.writes(b, from, to), nil
	}
	b.steps = to
	return routines.Written{Standing: routines.Verified, Value: to}, nil
}

// direct is an invented direct-drive printer, bowden one with a tube and thicker filament.
func direct() routines.Setup {
	return routines.Setup{Version: 1, Drive: "direct", FilamentDiameterMM: 1.75, NozzleBoreMM: 0.4, Liner: "unknown",
		NozzleMaxC: 280, BedMaxC: 100, FeedMaxMMPerS: 5}
}

func bowden() routines.Setup {
	s := direct()
	s.Drive, s.FilamentDiameterMM = "bowden", 2.85
	s.Tube = &routines.Tube{BoreMM: 4, LengthMM: 600, QuarterTurns: 3}
	return s
}

// rigid is invented demo data.
func rigid() routines.Material {
	return routines.Material{ID: "m1", Name: "a rigid filament", NozzleC: 210, NozzleMinC: 190, NozzleMaxC: 230, Invented: true}
}

func begin(t *testing.T, s routines.Setup, inputs string) routines.Begin {
	t.Helper()
	filled, err := routines.ValidateInputs(feed.Check().Inputs, json.RawMessage(inputs))
	if err != nil {
		t.Fatalf("inputs: %v", err)
	}
	b := routines.Begin{Inputs: filled, Setup: s, Material: rigid()}
	if err := feed.Check().Check(b); err != nil {
		t.Fatalf("inputs: %v", err)
	}
	return b
}

func (b *bench) run(begin routines.Begin) routines.Finding {
	b.t.Helper()
	r := routines.NewRun(context.Background(), begin, nil, b)
	f, err := feed.Check().Do(r)
	if err != nil {
		b.t.Fatalf("the check: %v", err)
	}
	b.entries = append(b.entries, r.Recorded()...)
	return f
}

// entry is the last one of a kind, its body opened.
func (b *bench) entry(kind string) (routines.Entry, map[string]any) {
	b.t.Helper()
	for i := len(b.entries) - 1; i >= 0; i-- {
		if e := b.entries[i]; e.Kind == kind {
			open := map[string]any{}
			if err := json.Unmarshal(e.Body, &open); err != nil {
				b.t.Fatalf("the body of %s: %v", kind, err)
			}
			return e, open
		}
	}
	b.t.Fatalf("no entry %q among %d", kind, len(b.entries))
	return routines.Entry{}, nil
}
