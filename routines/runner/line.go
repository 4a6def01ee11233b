package runner

import (
	"context"
	"errors"
	"fmt"
	"time"

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
	select {
	case b.typing <- struct{}{}: // and no run takes the printer meanwhile
		defer func() { <-b.typing }()
	case <-ctx.Done():
		return nil, fmt.Errorf("wait for another line: %w", context.Cause(ctx))
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
	said, err := b.single(ctx, line, attended)
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

// single sends a line, and writes down beforehand what it leaves behind. Heat waits for heat that is just being given
// back.
func (b *bench) single(ctx context.Context, line string, attended bool) ([]string, error) {
	what, _ := leaves(line)
	if what == "" {
		return b.machine.Single(ctx, line, attended)
	}
	release, err := b.hold(ctx)
	if err != nil {
		return nil, err
	}
	defer release()
	forget, err := b.oweFor(ctx, line, attended)
	if err != nil {
		return nil, err
	}
	said, err := b.machine.Single(ctx, line, attended)
	var refused *machine.RefusedError
	if errors.As(err, &refused) {
		forget()
	}
	return said, err
}

func (r *Runner) noteLine(ctx context.Context, printer, line, who string) {
	step := logbook.Step{Events: []logbook.Event{{Printer: printer, Kind: "line sent", Name: line, Who: who}}}
	if _, err := r.Book.Commit(context.WithoutCancel(ctx), step); err != nil {
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

// oweFor writes down what a typed line leaves behind, before it leaves. forget strikes it out again where the line was
// refused: what was never sent is not owed, and a heater that was not ours is not for us to switch off.
func (b *bench) oweFor(ctx context.Context, line string, attended bool) (forget func(), err error) {
	nothing := func() {}
	what, restore := leaves(line)
	if what == "" || (what == heat && !attended) || b.owes(ctx, what) {
		if what == heat && attended {
			b.heatTyped()
		}
		return nothing, nil // the machine refuses what is wrong, with its reason
	}
	if err := b.owe(ctx, what, "", restore...); err != nil {
		return nothing, err
	}
	if what == heat {
		b.heatTyped()
	}
	return func() {
		b.heated.Store(nil)
		if err := b.paid(context.WithoutCancel(ctx), what, logbook.Step{}); err != nil {
			b.runner.Log.Error("not struck out", "printer", b.printer.ID, "what", what, "err", err)
		}
	}, nil
}

// heatTyped begins the attended limit anew: somebody is there who asks for heat.
func (b *bench) heatTyped() {
	now := time.Now()
	b.heated.Store(&now)
}

// leaves is what a line leaves behind, and the words that give it back.
func leaves(line string) (what string, restore []string) {
	block, err := gcode.Parse(line)
	if err != nil {
		return "", nil
	}
	value, _ := block.Value('S')
	switch {
	case (block.Is("M104") || block.Is("M140")) && value > 0:
		return heat, []string{"M104 S0", "M140 S0"}
	case block.Is("M106"):
		return fan, []string{"M107"}
	}
	return "", nil
}
