package runner

import (
	"context"
	"errors"
	"fmt"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/serialio/gcode"
	"fettle/serialio/machine"
)

// Line sends one line that a person typed and returns what the printer said. It is parsed into words, held to a closed
// grammar and to the setup's limits, and printed anew. Heat and motion need somebody at the printer.
func (r *Runner) Line(ctx context.Context, printer, line string, attended bool, who string) ([]string, error) {
	b, err := r.bench(printer)
	if err != nil {
		return nil, err
	}
	if run := b.run.Load(); run != nil {
		return nil, fmt.Errorf("%w: %s", ErrOccupied, run.id())
	}
	if err := b.listens(ctx); err != nil {
		return nil, err
	}
	if err := b.limitBySetup(ctx); err != nil {
		return nil, err
	}
	if err := b.oweFor(ctx, line); err != nil {
		return nil, err
	}
	said, err := b.machine.Single(ctx, line, attended)
	var refused *machine.RefusedError
	var garbled *gcode.SyntaxError
	switch {
	case errors.As(err, &refused):
		return nil, &routines.FieldError{Field: "line", Detail: "holds " + refused.Word + ", which is not sent: " + refused.Why, Accept: refused.Accept}
	case errors.As(err, &garbled):
		return nil, &routines.FieldError{Field: "line", Detail: "cannot be read: " + garbled.Error(), Accept: garbled.Accept}
	case err != nil && !isFirmware(err):
		return said, fmt.Errorf("send the line: %w", err)
	}
	if err != nil {
		said = append(said, err.Error())
	}
	r.noteLine(ctx, printer, line, who)
	return said, nil
}

func (r *Runner) noteLine(ctx context.Context, printer, line, who string) {
	step := logbook.Step{Events: []logbook.Event{{Printer: printer, Kind: "line sent", Name: line, Who: who}}}
	if _, err := r.Book.Commit(ctx, step); err != nil {
		r.Log.Error("not kept in the logbook", "printer", printer, "what", "line sent", "err", err)
	}
}

// limitBySetup lays the printer's present limits down; without a setup nothing may heat or move.
func (b *bench) limitBySetup(ctx context.Context) error {
	setup, err := b.runner.Book.Setup(ctx, b.printer.ID)
	switch {
	case errors.Is(err, logbook.ErrNotFound):
		b.machine.Limit(machine.Limits{})
		return nil
	case err != nil:
		return fmt.Errorf("read the setup: %w", err)
	}
	b.machine.Limit(limitsOf(routines.Begin{Setup: setup, Material: routines.Material{NozzleMaxC: setup.NozzleMaxC}}))
	return nil
}

// oweFor writes down what a typed line leaves behind, before it leaves.
func (b *bench) oweFor(ctx context.Context, line string) error {
	block, err := gcode.Parse(line)
	if err != nil {
		return nil // the machine refuses it, with its reason
	}
	value, _ := block.Value('S')
	switch {
	case (block.Is("M104") || block.Is("M140")) && value > 0:
		return b.owe(ctx, heat, "", "M104 S0", "M140 S0")
	case block.Is("M106"):
		return b.owe(ctx, fan, "", "M107")
	}
	return nil
}
