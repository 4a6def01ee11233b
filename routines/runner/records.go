package runner

import (
	"context"
	"fmt"
	"slices"
	"time"

	"fettle/routines"
	"fettle/routines/logbook"
)

// records are the entries of a printer that a routine wants to know, oldest first: of its own material, and those that hold
// for all.
func (r *Runner) records(ctx context.Context, printer, material string, kinds []string) ([]routines.Record, error) {
	if len(kinds) == 0 {
		return nil, nil
	}
	entries, err := r.Book.Entries(ctx, logbook.Filter{Printer: printer})
	if err != nil {
		return nil, fmt.Errorf("read the records: %w", err)
	}
	var records []routines.Record
	for _, e := range entries {
		if slices.Contains(kinds, e.Kind) && (e.Material == "" || e.Material == material || slices.Contains(ofPrinter, e.Kind)) {
			records = append(records, recordOf(e))
		}
	}
	return records, nil
}

// ofPrinter are the kinds of entries that hold whatever material they were made with. The list does not change.
var ofPrinter = []string{"steps_per_mm", "feed_check"}

func recordOf(e logbook.Entry) routines.Record {
	return routines.Record{ID: e.ID, Setup: e.SetupVersion, Material: e.Material, Run: e.Run, Who: e.Who, At: time.UnixMilli(e.WallMS).UTC(), Entry: e.Entry}
}
