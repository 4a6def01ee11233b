package runner

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/logbook"
)

// Change is what a person says to have changed on a machine.
type Change struct {
	What     string // one of docket.Changes
	Material string // "" for all, where it is not about one
	Note     string
}

// Changed is a change as it was recorded, and what follows from it.
type Changed struct {
	Entry      logbook.Entry `json:"entry"`
	MakesStale []string      `json:"makes_stale"`
	Again      []string      `json:"again"`    // what is to be run again, in the order of the work
	Compares   bool          `json:"compares"` // the printer's settings are compared anew
}

// longestNote is how long a note may be, bytes.
const longestNote = 200

// RecordChange records what a person changed on a machine. Errors: *routines.FieldError, ErrNoPrinter, ErrNoMaterial, and
// those of the store.
func (r *Runner) RecordChange(ctx context.Context, printer string, c Change, who string) (Changed, error) {
	b, err := r.bench(printer)
	if err != nil {
		return Changed{}, err
	}
	change, err := b.checkChange(ctx, c)
	if err != nil {
		return Changed{}, err
	}
	entry := b.entryOf(ctx, who, c.Material, routines.Entry{Kind: docket.KindChange, Body: mustJSON(docket.ChangeBody{What: c.What, Note: c.Note})})
	stored, err := b.keepEntry(ctx, logbook.Event{Kind: "change recorded", Name: c.What}, entry)
	if err != nil {
		return Changed{}, err
	}
	if change.Compares {
		b.forgetSettings()
	}
	return Changed{Entry: stored, MakesStale: change.MakesStale(), Again: change.Again(), Compares: change.Compares}, nil
}

func (b *bench) checkChange(ctx context.Context, c Change) (docket.Change, error) {
	change, ok := docket.ChangeNamed(c.What)
	if !ok {
		var known []string
		for _, k := range docket.Changes() {
			known = append(known, k.What)
		}
		return change, &routines.FieldError{Field: "what", Detail: fmt.Sprintf("is %q", c.What), Accept: strings.Join(known, ", ")}
	}
	if change.OfMaterial && c.Material == "" {
		return change, &routines.FieldError{Field: "material", Detail: "is missing", Accept: "the material that this is about: one of GET /v1/materials"}
	}
	if err := checkNote(c.Note); err != nil {
		return change, err
	}
	if c.Material == "" {
		return change, nil
	}
	_, err := b.material(ctx, c.Material)
	return change, err
}

func checkNote(note string) error {
	if len(note) > longestNote {
		return &routines.FieldError{Field: "note", Detail: "is too long", Accept: fmt.Sprintf("a text of at most %d bytes", longestNote)}
	}
	return nil
}

// entryOf is an entry that no run makes, for the setup in force.
func (b *bench) entryOf(ctx context.Context, who, material string, e routines.Entry) logbook.Entry {
	out := logbook.Entry{Printer: b.printer.ID, Who: who, Material: material, Entry: e}
	if setup, err := b.runner.Book.Setup(ctx, b.printer.ID); err == nil {
		out.SetupVersion = setup.Version
	}
	return out
}

// keepEntry stores an entry with the event that dates it, and tells.
func (b *bench) keepEntry(ctx context.Context, event logbook.Event, e logbook.Entry) (logbook.Entry, error) {
	event.Printer, event.Who, event.Body = b.printer.ID, e.Who, mustJSON(map[string]any{"material": e.Material, "kind": e.Kind, "value": e.Value, "entry": e.Body})
	step, err := b.runner.Book.Commit(ctx, logbook.Step{Events: []logbook.Event{event}, Entries: []logbook.Entry{e}})
	if err != nil {
		return e, fmt.Errorf("store the %s: %w", e.Kind, err)
	}
	b.tell()
	return step.Entries[0], nil
}

// impliedBy are the changes that follow from a new setup; they are stored with it.
func (b *bench) impliedBy(ctx context.Context, next routines.Setup, who string) ([]logbook.Entry, error) {
	before, err := b.runner.Book.Setup(ctx, b.printer.ID)
	if errors.Is(err, logbook.ErrNotFound) {
		return nil, nil
	} else if err != nil {
		return nil, fmt.Errorf("read the setup: %w", err)
	}
	var out []logbook.Entry
	for _, what := range docket.Implied(before, next) {
		out = append(out, logbook.Entry{Printer: b.printer.ID, Who: who, Entry: routines.Entry{Kind: docket.KindChange,
			Body: mustJSON(docket.ChangeBody{What: what, Note: "by a new setup", From: before.Version})}})
	}
	return out, nil
}
