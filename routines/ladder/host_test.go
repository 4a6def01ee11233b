package ladder_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"fettle/routines"
	"fettle/serialio/gcode"
)

// bench is a printer with a person in front of it: a Host, and a Printer that takes programs and measures them. The person
// grades a band by how far its stroke, as it was measured in the program, lies below what truly suffices.
type bench struct {
	t        *testing.T
	setup    routines.Setup
	material routines.Material
	truthMM  float64 // shortest length that suffices
	scatter  float64 // of the person's eye, in grades
	damp     bool    // strings whatever the length
	shiftsAt float64 // travel speed from which on layers shift, mm/s; 0: none
	rng      *rand.Rand
	says     map[string]string // answers by the question's name
	breaks   string            // the act that fails
	settings []string

	records   []routines.Record
	runs      int
	facts     []routines.Fact
	questions []routines.Question
	did       []string
	bands     []streamed // of the piece printed last
	filament  float64    // mm
	bandLines []int
}

// streamed is what a band was printed with, by the program itself.
type streamed struct{ strokeMM, travelMMPerS float64 }

func newBench(t *testing.T, truthMM float64) *bench {
	return &bench{t: t, truthMM: truthMM, rng: rand.New(rand.NewPCG(7, 9)), says: map[string]string{},
		setup: routines.Setup{Version: 1, Drive: "direct", FilamentDiameterMM: 1.75, NozzleBoreMM: 0.4, Liner: "all_metal", NozzleMaxC: 280, BedMaxC: 110,
			FeedMaxMMPerS: 50, BuildXMM: 220, BuildYMM: 220, BuildZMM: 250},
		material: routines.Material{ID: "plum", Name: "Plum (invented)", NozzleC: 210, NozzleMinC: 195, NozzleMaxC: 225, BedC: 55, Invented: true},
		settings: []string{"M203 X300 Y300 Z8 E60", "M201 X2000 Y2000 Z100 E5000", "M204 P1000 R1500 T1200", "M92 X80 Y80 Z400 E94.51"}}
}

func onTube(b *bench) {
	b.setup.Drive, b.setup.Tube = "bowden", &routines.Tube{BoreMM: 2, LengthMM: 600, QuarterTurns: 3, CouplerPlayMM: 0.5}
}

// proven puts a feed check that found the steps/mm right on record.
func (b *bench) proven() *bench {
	b.record("r0", "", routines.Entry{Kind: "feed_check", Body: json.RawMessage(`{"finding":"leave","measured_with_steps_per_mm":94.51,"u95_percent":0.5}`)})
	return b
}

func (b *bench) record(run, material string, e routines.Entry) {
	n := int64(len(b.records) + 1)
	b.records = append(b.records, routines.Record{ID: n, Setup: b.setup.Version, Material: material, Run: run, At: time.Unix(1_800_000_000+n, 0), Entry: e})
}

// run runs a routine with these inputs over what is on record.
func (b *bench) run(routine routines.Routine, inputs string) (routines.Begin, routines.Finding, error) {
	b.t.Helper()
	raw, err := routines.ValidateInputs(routine.Inputs, json.RawMessage(inputs))
	if err != nil {
		b.t.Fatal(err)
	}
	b.runs++
	begin := routines.Begin{Inputs: raw, Setup: b.setup, Material: b.material}
	for _, r := range b.records {
		if slices.Contains(routine.Reads, r.Kind) {
			begin.Records = append(begin.Records, r)
		}
	}
	if err := routine.Check(begin); err != nil {
		return begin, routines.Finding{}, err
	}
	b.facts = nil
	r := routines.NewRun(context.Background(), begin, nil, b)
	f, err := routine.Do(r)
	b.keep(r.Recorded())
	return begin, f, err
}

func (b *bench) keep(entries []routines.Entry) {
	for _, e := range entries {
		b.record(fmt.Sprintf("r%d", b.runs), b.material.ID, e)
	}
}

func (b *bench) Commit(_ context.Context, f routines.Fact, entries []routines.Entry) error {
	b.facts = append(b.facts, f)
	b.keep(entries)
	if b.breaks != "" && f.Kind == routines.Begun && strings.HasSuffix(f.Name, b.breaks) {
		return errors.New("the cable was pulled")
	}
	return nil
}

func (b *bench) Answer(_ context.Context, q routines.Question, entries []routines.Entry, _ bool) (json.RawMessage, bool, error) {
	b.keep(entries)
	b.questions = append(b.questions, q)
	raw, err := q.Validate(json.RawMessage(b.answer(q)))
	if err != nil {
		return nil, false, fmt.Errorf("the person's answer to %q: %w", q.Name, err)
	}
	b.facts = append(b.facts, routines.Fact{Kind: routines.Asked, Name: q.Name}, routines.Fact{Kind: routines.Answered, Name: q.Name, Body: raw})
	return raw, false, nil
}

func (b *bench) answer(q routines.Question) string {
	if said, ok := b.says[q.Name]; ok {
		return said
	}
	if strings.HasPrefix(q.Name, "piece ") {
		return `{"next":"print"}`
	}
	given := map[string]any{}
	for i := range b.bands {
		letter := string("abcdefgh"[i])
		for _, f := range q.Fields {
			if f.Kind == routines.Choice && strings.HasPrefix(f.Name, letter+"_") {
				given[f.Name] = b.looks(b.bands[i].strokeMM)
			}
		}
		if _, spoiled := given["spoiled"]; b.shiftsAt > 0 && !spoiled && b.bands[i].travelMMPerS >= b.shiftsAt {
			given["spoiled"], given["spoiled_from"] = "layers_shifted", letter
		}
		if b.truthMM > 0 && b.bands[i].strokeMM > b.truthMM+1.5 {
			given[letter+"_voids"] = true
		}
	}
	raw, _ := json.Marshal(given)
	return string(raw)
}

// looks is the grade of a gap: on a direct drive strings thin out with the length, on a tube they stay and then are gone.
func (b *bench) looks(strokeMM float64) string {
	short := math.Max(b.truthMM-strokeMM, 0)
	grade := 0.6 + 4*short/b.truthMM
	if b.setup.Tube != nil {
		grade = 0.6 + 2.6*math.Min(short/0.4, 1)
	}
	if b.damp {
		grade = 2.5
	}
	grade += b.scatter * b.rng.NormFloat64()
	return []string{"clean", "hairs", "threads", "strings", "web"}[int(math.Max(0, math.Min(4, math.Round(grade))))]
}

func (b *bench) Ready(_ context.Context, need routines.Need, hot routines.Heat) error {
	if need == routines.Moves {
		b.did = append(b.did, fmt.Sprintf("ready at %g and %g", hot.NozzleC, hot.BedC))
	}
	return nil
}

func (b *bench) Cool(context.Context) error {
	b.did = append(b.did, "cool")
	return nil
}

func (b *bench) Printer() routines.Printer { return b }

func (b *bench) Settings(context.Context) (gcode.Settings, error) {
	return gcode.ParseSettings(b.settings), nil
}

// Stream reads the program as a printer would: how far it draws back, how fast it crosses, what it lays.
func (b *bench) Stream(_ context.Context, p gcode.Program) (routines.Streamed, error) {
	var s streamed
	e, lines := 0.0, 0
	for step := range p.Steps {
		lines++
		at, feeds := step.Block.Value('E')
		_, moves := step.Block.Value('X')
		speed, _ := step.Block.Value('F')
		switch {
		case step.Block.Is("G92"):
		case feeds && !moves:
			s.strokeMM = math.Max(s.strokeMM, math.Round((e-at)*1000)/1000)
		case feeds:
			b.filament += at - e
		case moves:
			s.travelMMPerS = speed / 60
		}
		if feeds {
			e = at
		}
	}
	b.did = append(b.did, fmt.Sprintf("stream %d lines", lines))
	switch {
	case lines >= 120: // a band
		b.bands = append(b.bands, s)
		b.bandLines = append(b.bandLines, lines)
	case lines >= 20: // the foot of another piece
		b.bands = nil
	}
	return routines.Streamed{Lines: lines, OfLines: lines, Remarks: []string{}}, nil
}

func (b *bench) Feed(context.Context, float64, float64) (routines.FeedDone, error) {
	return routines.FeedDone{}, errors.New("no ladder feeds")
}
func (b *bench) RestoreSetAsides(context.Context) error { return errors.New("no ladder sets aside") }
func (b *bench) FeedCold(context.Context, float64, float64) (routines.FeedDone, error) {
	return routines.FeedDone{}, errors.New("a ladder feeds nothing cold")
}

func (b *bench) AwaitCool(context.Context, float64) error {
	return errors.New("a ladder waits for no cold")
}

func (b *bench) CompareStored(context.Context) ([]gcode.Difference, error) {
	return nil, errors.New("no ladder writes settings")
}
func (b *bench) WriteSteps(context.Context, float64, float64, []gcode.Difference) (routines.Written, error) {
	return routines.Written{}, errors.New("no ladder writes settings")
}
