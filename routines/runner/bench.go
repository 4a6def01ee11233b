package runner

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"time"

	"fettle/routines/logbook"
	"fettle/serialio"
	"fettle/serialio/machine"
	"fettle/serialio/pulse"
)

// A bench is a printer at its place: its line, the run that holds it, and what is owed to it.
type bench struct {
	runner  *Runner
	printer logbook.Printer
	machine *machine.Machine
	run     atomic.Pointer[run] // holds the printer; read without a lock by a stop

	paying  sync.Mutex   // one payer at a time
	settled atomic.Int64 // the contact (counted from 1) at which what was owed had been given back; below contact: not yet
	contact atomic.Int64 // how often the line has come to listen
	moving  atomic.Bool  // axes moved at first contact although no run of ours moved them
	changed pulse.Pulse
}

// keepLine runs the line until ctx ends.
func (b *bench) keepLine(ctx context.Context) {
	if err := b.machine.Run(ctx); err != nil && ctx.Err() == nil {
		b.runner.Log.Error("line ended", "printer", b.printer.ID, "err", err)
	}
}

// watch follows the line until ctx ends: it gives back what is owed at each new contact, keeps the readings young, and
// tells listeners of each change.
func (b *bench) watch(ctx context.Context) {
	last := serialio.Unplugged
	poll := time.NewTicker(b.runner.PollEvery)
	defer poll.Stop()
	for ctx.Err() == nil {
		news := b.machine.Changed()
		now := b.machine.Snapshot().State
		if now != last {
			b.runner.Log.Info("line", "printer", b.printer.ID, "state", now.String())
			if now == serialio.Listening {
				b.greet(ctx)
			} else if run := b.run.Load(); run != nil {
				run.lineLost()
			}
			last = now
		}
		b.tell()
		select {
		case <-ctx.Done():
		case <-news:
		case <-poll.C:
			b.refresh(ctx)
		}
	}
}

func (b *bench) tell() {
	b.changed.Beat()
	b.runner.changed.Beat()
}

// greet is done at each new contact: what is owed is given back, heat first. With nothing owed it only looks whether
// the axes move for someone else.
func (b *bench) greet(ctx context.Context) {
	contact := b.contact.Add(1)
	owed, err := b.runner.Book.Owed(ctx, b.printer.ID)
	switch {
	case err != nil:
		// The record cannot say whether we heated it: heaters off, for a cold printer that was not ours is a smaller harm.
		b.runner.Log.Error("what is owed cannot be read, heaters off", "printer", b.printer.ID, "err", err)
		err = b.machine.Off(ctx)
	case len(owed) > 0:
		err = b.pay(ctx)
	default:
		b.lookForMotion(ctx)
	}
	if err != nil && ctx.Err() == nil {
		b.runner.Log.Error("not given back", "printer", b.printer.ID, "err", err)
	}
	b.settled.Store(contact)
	if run := b.run.Load(); run != nil {
		run.wentCold()
	}
}

// motionLook is how far apart two positions are asked for, to see whether axes move.
const motionLook = time.Second

func (b *bench) lookForMotion(ctx context.Context) {
	b.moving.Store(false)
	if b.run.Load() != nil {
		return
	}
	first, err := b.machine.Position(ctx)
	if err != nil {
		return
	}
	select {
	case <-ctx.Done():
		return
	case <-time.After(motionLook):
	}
	if second, err := b.machine.Position(ctx); err == nil {
		b.moving.Store(first != second)
	}
}

// refresh asks for the temperatures where they are getting old, and switches a heater off that nobody has used or
// watched for the attended limit.
func (b *bench) refresh(ctx context.Context) {
	s := b.machine.Snapshot()
	if s.State != serialio.Listening {
		return
	}
	if time.Since(s.TempsAt) >= b.runner.PollEvery {
		ctx, cancel := context.WithTimeout(ctx, 2*b.runner.PollEvery)
		defer cancel()
		if _, err := b.machine.Poll(ctx); err != nil {
			b.runner.Log.Debug("poll", "printer", b.printer.ID, "err", err)
		}
	}
	if b.run.Load() == nil && b.owedSince(ctx, heat) > b.runner.AttendedLimit {
		if err := b.pay(ctx); err != nil {
			b.runner.Log.Error("heater off", "printer", b.printer.ID, "err", err)
		}
	}
}

// awaitLine waits until the line listens and what was owed from before has been given back.
func (b *bench) awaitLine(ctx context.Context) error {
	ctx, cancel := context.WithTimeoutCause(ctx, b.runner.LineLimit, ErrNotListening)
	defer cancel()
	for {
		news := b.changed.Wait()
		s := b.machine.Snapshot()
		switch {
		case s.State == serialio.Listening && b.settled.Load() == b.contact.Load() && b.contact.Load() > 0:
			return nil
		case s.State == serialio.Halted:
			return fmt.Errorf("%w: it is halted: %s", ErrNotListening, s.Fault)
		}
		select {
		case <-ctx.Done():
			if errors.Is(context.Cause(ctx), ErrNotListening) {
				return fmt.Errorf("%w: it is %s", ErrNotListening, s.State)
			}
			return context.Cause(ctx)
		case <-news:
		}
	}
}

// someoneElse says what was read where a printer is hot or moving and we did not make it so. Empty where it is free.
func (b *bench) someoneElse(ctx context.Context) string {
	s := b.machine.Snapshot()
	if s.State != serialio.Listening || b.run.Load() != nil {
		return ""
	}
	if s.Temps.NozzleTargetC > 0 || s.Temps.BedTargetC > 0 {
		if b.owedSince(ctx, heat) == 0 {
			return fmt.Sprintf("its nozzle is asked for %.0f °C and its bed for %.0f °C, and not by us", s.Temps.NozzleTargetC, s.Temps.BedTargetC)
		}
	}
	if b.moving.Load() {
		return "its axes move, and not by us"
	}
	return ""
}
