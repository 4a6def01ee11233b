package runner

import (
	"context"
	"errors"
	"fmt"
	"sync/atomic"

	"fettle/routines/logbook"
	"fettle/serialio"
	"fettle/serialio/gcode"
)

// company is who a bench knows to be at the far end of its line.
type company struct {
	kept     atomic.Pointer[logbook.Fingerprint] // of the printer that is meant; nil: it was never met
	known    atomic.Int64                        // the contact whose printer is that one; see contactOf
	stranger atomic.Pointer[stranger]            // nil: none has come
	accepted chan struct{}                       // one place: a person has said that it is the same printer
}

// A stranger is another printer, and the contact at which it answered.
type stranger struct {
	AnotherPrinter
	contact int64
}

// another is who answers where that is not the printer that is meant; nil where it is, or nobody answers.
func (b *bench) another() *AnotherPrinter {
	s := b.machine.Snapshot()
	who := b.company.stranger.Load()
	if who == nil || s.State != serialio.Listening || who.contact != contactOf(s) {
		return nil
	}
	return &who.AnotherPrinter
}

// identify finds out who answers at a contact, and opens the gate if it is the printer that is meant. At the first
// contact ever that is whoever answers.
func (b *bench) identify(ctx context.Context, contact int64) error {
	said, is, err := b.ask(ctx)
	if err != nil {
		return err
	}
	switch is {
	case saysNew:
		b.company.kept.Store(&said)
		if err := b.keep(ctx, said); err != nil {
			b.runner.Log.Error("who answers is known for this life of the agent only", "printer", b.printer.ID, "err", err)
		}
	case saysAnother:
		return b.turnAway(ctx, said, contact)
	}
	b.company.stranger.Store(nil)
	b.company.known.Store(contact)
	return nil
}

var errUnclear = errors.New("it does not say the same of itself often enough")

// ask asks who is there until that is clear.
func (b *bench) ask(ctx context.Context) (said logbook.Fingerprint, is answer, err error) {
	a := acquaintance{kept: b.company.kept.Load()}
	for is == askAgain {
		lines, err := b.machine.Single(ctx, "M115", false)
		if err != nil && !isFirmware(err) { // one that does not know the question has said nothing of itself
			return said, is, fmt.Errorf("ask the printer who it is: %w", err)
		}
		id := gcode.ParseIdentity(lines)
		said = logbook.Fingerprint{Firmware: id.Firmware, Machine: id.Machine, UUID: id.UUID}
		is = a.hears(said)
	}
	if is == saysUnclear {
		return said, is, fmt.Errorf("ask the printer who it is: %w", errUnclear)
	}
	return said, is, nil
}

func (b *bench) keep(ctx context.Context, f logbook.Fingerprint, events ...logbook.Event) error {
	step := logbook.Step{Fingerprint: &logbook.FingerprintOf{Printer: b.printer.ID, Fingerprint: f}, Events: events}
	if _, err := b.runner.Book.Commit(ctx, step); err != nil {
		return fmt.Errorf("store what the printer says of itself: %w", err)
	}
	return nil
}

// turnAway shows a stranger to everybody and returns the refusal. The record is told once of each, and first.
func (b *bench) turnAway(ctx context.Context, said logbook.Fingerprint, contact int64) error {
	who := &stranger{newAnotherPrinter(*b.company.kept.Load(), said), contact}
	if before := b.company.stranger.Load(); before == nil || before.Mark != who.Mark {
		event := logbook.Event{Printer: b.printer.ID, Kind: "another printer", Name: who.Text, Body: mustJSON(who.AnotherPrinter)}
		if _, err := b.runner.Book.Commit(ctx, logbook.Step{Events: []logbook.Event{event}}); err != nil {
			b.runner.Log.Error("not kept in the logbook", "printer", b.printer.ID, "what", event.Kind, "err", err)
		}
	}
	b.company.stranger.Store(who)
	b.tell()
	return &AnotherPrinterError{who.AnotherPrinter}
}

// SamePrinter is a person who says that the printer that answers is the one that is meant, with other firmware or
// another board. mark names what they saw: should another one answer by now, nothing is changed. What is owed is given
// back then. Errors: ErrNotAnother, and those of the store.
func (r *Runner) SamePrinter(ctx context.Context, printer, mark, who string) (PrinterView, error) {
	b, err := r.bench(printer)
	if err != nil {
		return PrinterView{}, err
	}
	a := b.another()
	if a == nil || a.Mark != mark {
		return PrinterView{}, ErrNotAnother
	}
	event := logbook.Event{Printer: printer, Kind: "same printer", Name: a.Text, Who: who, Body: mustJSON(a)}
	if err := b.keep(ctx, a.Answers, event); err != nil {
		return PrinterView{}, err
	}
	b.company.kept.Store(&a.Answers)
	b.company.stranger.Store(nil)
	select {
	case b.company.accepted <- struct{}{}:
	default: // somebody has said so already
	}
	waiting, cancel := context.WithTimeout(ctx, replugLimit)
	defer cancel()
	_ = b.awaitLine(waiting) // giving back may take longer; the view says how far it is
	return b.view(ctx)
}
