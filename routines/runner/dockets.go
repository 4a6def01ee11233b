package runner

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/logbook"
)

// Docket is what is known for a printer, as it is fitted now, and a material. Errors: ErrNoPrinter, ErrNoSetup,
// ErrNoMaterial, and those of the store.
func (r *Runner) Docket(ctx context.Context, printer, material string) (docket.Docket, error) {
	b, err := r.bench(printer)
	if err != nil {
		return docket.Docket{}, err
	}
	return b.docket(ctx, material)
}

func (b *bench) docket(ctx context.Context, material string) (docket.Docket, error) {
	var none docket.Docket
	setup, err := b.fitted(ctx)
	if err != nil {
		return none, err
	}
	m, err := b.material(ctx, material)
	if err != nil {
		return none, err
	}
	entries, err := b.entries(ctx)
	if err != nil {
		return none, err
	}
	return docket.Of(b.printer.ID, entries, setup, m).By(time.Now()), nil
}

// fitted is the setup in force.
func (b *bench) fitted(ctx context.Context) (routines.Setup, error) {
	setup, err := b.runner.Book.Setup(ctx, b.printer.ID)
	if errors.Is(err, logbook.ErrNotFound) {
		return setup, fmt.Errorf("%w: %s", ErrNoSetup, b.printer.Name)
	} else if err != nil {
		return setup, fmt.Errorf("read the setup: %w", err)
	}
	return setup, nil
}

func (b *bench) material(ctx context.Context, id string) (routines.Material, error) {
	m, err := b.runner.Book.Material(ctx, id)
	if errors.Is(err, logbook.ErrNotFound) {
		return m, fmt.Errorf("%w: %q", ErrNoMaterial, id)
	} else if err != nil {
		return m, fmt.Errorf("read the material: %w", err)
	}
	return m, nil
}

// Dockets are those in which something was recorded, by printer and material; of all printers or materials for "".
func (r *Runner) Dockets(ctx context.Context, printer, material string) ([]docket.Docket, error) {
	out := []docket.Docket{}
	for _, b := range *r.benches.Load() {
		if printer != "" && b.printer.ID != printer {
			continue
		}
		some, err := b.dockets(ctx, material)
		if err != nil {
			return nil, err
		}
		out = append(out, some...)
	}
	slices.SortFunc(out, func(a, b docket.Docket) int {
		return strings.Compare(a.Printer+"\x00"+a.Material, b.Printer+"\x00"+b.Material)
	})
	return out, nil
}

func (b *bench) dockets(ctx context.Context, only string) ([]docket.Docket, error) {
	setup, err := b.runner.Book.Setup(ctx, b.printer.ID)
	if errors.Is(err, logbook.ErrNotFound) {
		return nil, nil
	} else if err != nil {
		return nil, fmt.Errorf("read the setup: %w", err)
	}
	entries, err := b.entries(ctx)
	if err != nil {
		return nil, err
	}
	var out []docket.Docket
	seen := map[string]bool{"": true}
	for _, e := range entries {
		if seen[e.Material] || only != "" && e.Material != only {
			continue
		}
		seen[e.Material] = true
		material, err := b.material(ctx, e.Material)
		if err != nil {
			return nil, err
		}
		out = append(out, docket.Of(b.printer.ID, entries, setup, material).By(time.Now()))
	}
	return out, nil
}
