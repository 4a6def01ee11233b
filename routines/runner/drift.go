package runner

import (
	"context"

	"fettle/routines/docket"
)

// Drift is what a printer's feed checks say about change over time. Errors: ErrNoPrinter, ErrNoSetup, ErrNoMaterial,
// *routines.FieldError for what else of the query cannot be, and those of the store.
func (r *Runner) Drift(ctx context.Context, printer string, q docket.DriftQuery) (docket.Drift, error) {
	b, err := r.bench(printer)
	if err != nil {
		return docket.Drift{}, err
	}
	setup, err := b.fitted(ctx)
	if err != nil {
		return docket.Drift{}, err
	}
	if q.Material != "" {
		if _, err := b.material(ctx, q.Material); err != nil {
			return docket.Drift{}, err
		}
	}
	entries, err := b.entries(ctx)
	if err != nil {
		return docket.Drift{}, err
	}
	return docket.DriftOf(printer, entries, setup.Version, q)
}
