package runner

import (
	"context"
	"fmt"
	"slices"
	"time"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/logbook"
)

// entries are those of this printer, oldest first.
func (b *bench) entries(ctx context.Context) ([]routines.Record, error) {
	stored, err := b.runner.Book.Entries(ctx, logbook.Filter{Printer: b.printer.ID})
	if err != nil {
		return nil, fmt.Errorf("read the entries: %w", err)
	}
	out := make([]routines.Record, len(stored))
	for i, e := range stored {
		out[i] = routines.Record{ID: e.ID, Setup: e.SetupVersion, Material: e.Material, Run: e.Run, Who: e.Who,
			At: time.UnixMilli(e.WallMS).UTC(), Undated: !e.WallTrusted, Entry: e.Entry}
	}
	return out, nil
}

// entriesOfKinds are those that a routine wants to know: of its own material, and those that hold for all.
func (b *bench) entriesOfKinds(ctx context.Context, material string, kinds []string) ([]routines.Record, error) {
	if len(kinds) == 0 {
		return nil, nil
	}
	entries, err := b.entries(ctx)
	return slices.DeleteFunc(entries, func(e routines.Record) bool {
		return !slices.Contains(kinds, e.Kind) || e.Material != "" && e.Material != material && !docket.HoldsForAll(e.Kind)
	}), err
}
