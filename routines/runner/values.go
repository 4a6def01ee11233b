package runner

import (
	"context"
	"fmt"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/logbook"
)

// TypedValue is a value that a person gives for a docket.
type TypedValue struct {
	Kind  string
	Value float64
	Note  string
}

// SetValue records a value that a person typed. Errors: *routines.FieldError, and those of Docket.
func (r *Runner) SetValue(ctx context.Context, printer, material string, v TypedValue, who string) (docket.Docket, error) {
	b, d, err := r.docketOf(ctx, printer, material)
	if err != nil {
		return d, err
	}
	unit, err := d.CheckTyped(v.Kind, v.Value)
	if err != nil {
		return d, err
	}
	if err := checkNote(v.Note); err != nil {
		return d, err
	}
	entry := routines.Entry{Kind: v.Kind, Value: &v.Value, Unit: unit, Body: mustJSON(docket.ValueBody{How: docket.Typed, Note: v.Note})}
	return b.keepValue(ctx, "value typed", who, d, entry)
}

// Revert lets an earlier value of a row hold again, in a new entry. Errors: *routines.FieldError, and those of Docket.
func (r *Runner) Revert(ctx context.Context, printer, material string, entry int64, who string) (docket.Docket, error) {
	b, d, err := r.docketOf(ctx, printer, material)
	if err != nil {
		return d, err
	}
	row, earlier, err := d.Reverting(entry)
	if err != nil {
		return d, err
	}
	again := routines.Entry{Kind: row.Kind, Value: &earlier.Value, U95: earlier.U95, Unit: row.Unit, Standing: earlier.Standing,
		Body: mustJSON(docket.ValueBody{How: docket.Reverted, Of: entry})}
	return b.keepValue(ctx, "value reverted", who, d, again)
}

func (r *Runner) docketOf(ctx context.Context, printer, material string) (*bench, docket.Docket, error) {
	b, err := r.bench(printer)
	if err != nil {
		return nil, docket.Docket{}, err
	}
	d, err := b.docket(ctx, material)
	return b, d, err
}

func (b *bench) keepValue(ctx context.Context, did, who string, d docket.Docket, e routines.Entry) (docket.Docket, error) {
	entry := logbook.Entry{Printer: d.Printer, Who: who, Material: d.Material, SetupVersion: d.SetupVersion, Entry: e}
	if _, err := b.keepEntry(ctx, logbook.Event{Kind: did, Name: e.Kind}, entry); err != nil {
		return d, err
	}
	next, err := b.docket(ctx, d.Material)
	if err != nil {
		return d, fmt.Errorf("read the docket again: %w", err)
	}
	return next, nil
}
