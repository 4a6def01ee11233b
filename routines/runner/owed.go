package runner

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"fettle/routines/logbook"
	"fettle/serialio"
)

// What can be owed to a printer, in the order in which it is given back.
const (
	heat      = "heat"                    // heaters off
	fan       = "fan"                     // part fan off
	coldBlock = "block of cold extrusion" // on again
	volume    = "volume mode"             // M200 as it was found
	flow      = "flow multiplier"         // M221 as it was found
	speed     = "speed multiplier"        // M220 as it was found
	steps     = "steps/mm"                // M92 as it was found, unless the store holds the new value
	inUse     = "settings in use"         // what only the RAM held before the stored settings were loaded

	retraction = "retraction settings" // M207 and M208 as they were found, unless the store holds the new values
)

var order = []string{heat, coldBlock, fan, volume, flow, speed, steps, retraction, inUse}

// setAsides are the words a feed sets so that 100 mm are 100 mm.
var setAsides = []string{volume, flow, speed}

// owe writes down that a printer must be given something back, before the word that makes it so leaves. Owed already:
// the first row stays, since it says what was found.
func (b *bench) owe(ctx context.Context, what, keepIf string, restore ...string) error {
	row := logbook.Owed{Printer: b.printer.ID, What: what, Restore: restore, KeepIf: keepIf}
	if run := b.run.Load(); run != nil {
		row.Run = run.id()
	}
	if _, err := b.runner.Book.Commit(ctx, logbook.Step{Owe: []logbook.Owed{row}}); err != nil {
		return fmt.Errorf("write down that %s is owed: %w", what, err)
	}
	return nil
}

func (b *bench) paid(ctx context.Context, what string, with logbook.Step) error {
	with.Paid = append(with.Paid, logbook.Paid{Printer: b.printer.ID, What: what})
	if _, err := b.runner.Book.Commit(ctx, with); err != nil {
		return fmt.Errorf("write down that %s was given back: %w", what, err)
	}
	return nil
}

// owes reports whether something is owed, as far as the record can be read.
func (b *bench) owes(ctx context.Context, what string) bool {
	rows, err := b.runner.Book.Owed(ctx, b.printer.ID)
	return err == nil && slices.ContainsFunc(rows, func(row logbook.Owed) bool { return row.What == what })
}

// unwatched reports whether a heater of ours is on while no run holds the printer, and nobody has typed heat within the
// attended limit. The limit is counted by the monotonic clock: what is owed from an earlier life has none left.
func (b *bench) unwatched(ctx context.Context) bool {
	if at := b.heated.Load(); at != nil {
		return time.Since(*at) > b.runner.AttendedLimit
	}
	return b.owes(ctx, heat)
}

// settle gives back all that is owed, and waits for the line where something is.
func (b *bench) settle(ctx context.Context) error {
	rows, err := b.runner.Book.Owed(ctx, b.printer.ID)
	if err == nil && len(rows) == 0 {
		return nil
	}
	if err := b.awaitLine(ctx); err != nil {
		return err
	}
	return b.pay(ctx)
}

// coolUnwatched switches a heater off that nobody watches, unless a run has taken the printer meanwhile: one that has
// not heated yet waits until it is done.
func (b *bench) coolUnwatched(ctx context.Context) error {
	release, err := b.hold(ctx)
	if err != nil {
		return err
	}
	defer release()
	if b.run.Load() != nil || !b.unwatched(ctx) {
		return nil
	}
	return b.payHeld(ctx)
}

// pay gives back all that is owed, heat first, or only what is named. Where the record cannot say what is owed the
// heaters go off all the same: a cold printer that was not ours is the smaller harm.
func (b *bench) pay(ctx context.Context, only ...string) error {
	release, err := b.hold(ctx)
	if err != nil {
		return err
	}
	defer release()
	return b.payHeld(ctx, only...)
}

// hold waits until nobody gives anything back, and keeps it so until release.
func (b *bench) hold(ctx context.Context) (release func(), err error) {
	select {
	case b.paying <- struct{}{}:
		return func() { <-b.paying }, nil
	case <-ctx.Done():
		return nil, fmt.Errorf("wait for what is given back: %w", context.Cause(ctx))
	}
}

func (b *bench) payHeld(ctx context.Context, only ...string) error {
	if len(only) == 0 {
		only = order
	}
	rows, err := b.runner.Book.Owed(ctx, b.printer.ID)
	if err != nil {
		err = fmt.Errorf("read what is owed: %w", err)
		if slices.Contains(only, heat) {
			err = errors.Join(err, b.off(ctx))
		}
		return err
	}
	var failed []error
	for _, what := range only {
		for _, row := range rows {
			if row.What == what {
				failed = append(failed, b.giveBack(ctx, row))
			}
		}
	}
	b.tell()
	return errors.Join(failed...)
}

func (b *bench) giveBack(ctx context.Context, row logbook.Owed) error {
	var with logbook.Step
	var err error
	switch row.What {
	case heat:
		err = b.off(ctx)
	case steps, retraction:
		with, err = b.settleWrite(ctx, row)
	default:
		err = b.setAll(ctx, row.Restore)
	}
	if err != nil {
		return fmt.Errorf("give back %s: %w", row.What, err)
	}
	return b.paid(ctx, row.What, with)
}

// off switches the heaters off, by the printer's own word.
func (b *bench) off(ctx context.Context) error {
	if err := b.machine.Off(ctx); err != nil {
		return err
	}
	b.heated.Store(nil)
	return nil
}

func (b *bench) setAll(ctx context.Context, lines []string) error {
	for _, line := range lines {
		if err := b.machine.Set(ctx, line); err != nil {
			return fmt.Errorf("send %q: %w", line, err)
		}
	}
	return nil
}

// same compares two settings as a settings report prints them, with two decimals.
func same(a, b float64) bool { return a-b < 0.0051 && b-a < 0.0051 }

func isFirmware(err error) bool {
	var said *serialio.FirmwareError
	return errors.As(err, &said)
}
