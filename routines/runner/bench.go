package runner

import (
	"context"
	"fmt"
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

	paying  chan struct{}             // one place: whoever gives back what is owed
	typing  chan struct{}             // one place: whoever sends a typed line, or takes the printer for a run
	settled atomic.Int64              // the contact at which what was owed had been given back; see contactOf
	moving  atomic.Bool               // axes moved at first contact although no run of ours moved them
	company company                   // who answers on the line
	heated  atomic.Pointer[time.Time] // when somebody last typed heat, by the monotonic clock; nil: nobody has
	changed pulse.Pulse

	reported atomic.Pointer[reported] // the printer's settings; nil: to be asked for
	records  atomic.Pointer[records]  // what follows from the logbook for its view
}

func newBench(r *Runner, p logbook.Printer) *bench {
	b := &bench{runner: r, printer: p, paying: make(chan struct{}, 1), typing: make(chan struct{}, 1)}
	b.company.kept.Store(p.Fingerprint)
	b.company.accepted = make(chan struct{}, 1)
	b.machine = machine.New(gate{r.Connect(p), b}, r.Speedup)
	return b
}

// contactOf names the time since which a line has listened without a break: each contact has its own.
func contactOf(s serialio.Snapshot) int64 { return s.Since.UnixNano() }

// keepLine runs the line until ctx ends.
func (b *bench) keepLine(ctx context.Context) {
	if err := b.machine.Run(ctx); err != nil && ctx.Err() == nil {
		b.runner.Log.Error("line ended", "printer", b.printer.ID, "err", err)
	}
}

// watch follows the line until ctx ends: it gives back what is owed at each new contact, keeps the readings young, and
// tells listeners of each change.
func (b *bench) watch(ctx context.Context) {
	var last serialio.Snapshot
	poll := time.NewTicker(b.runner.PollEvery)
	defer poll.Stop()
	for ctx.Err() == nil {
		news := b.machine.Changed()
		now := b.machine.Snapshot()
		if now.State != last.State || !now.Since.Equal(last.Since) { // a line that was away so briefly that nobody saw it was away
			b.runner.Log.Info("line", "printer", b.printer.ID, "state", now.State.String())
			if now.State == serialio.Listening {
				b.greet(ctx, contactOf(now))
			}
			last = now
		}
		b.tell()
		select {
		case <-ctx.Done():
		case <-news:
		case <-b.company.accepted:
			last = serialio.Snapshot{}
		case <-poll.C:
			b.refresh(ctx)
		}
	}
}

func (b *bench) tell() {
	b.changed.Beat()
	b.runner.changed.Beat()
}

// greet is done at each new contact: once it is clear that the printer that is meant answers, what is owed is given
// back, heat first. With nothing owed it only looks whether the axes move for someone else. To another printer nothing is owed.
func (b *bench) greet(ctx context.Context, contact int64) {
	if err := b.identify(ctx, contact); err != nil {
		if ctx.Err() == nil {
			b.runner.Log.Warn("not driven", "printer", b.printer.ID, "err", err)
		}
		return
	}
	owed, err := b.runner.Book.Owed(ctx, b.printer.ID)
	if err != nil || len(owed) > 0 {
		err = b.pay(ctx)
	} else {
		b.lookForMotion(ctx)
	}
	if err != nil && ctx.Err() == nil {
		b.runner.Log.Error("not given back", "printer", b.printer.ID, "err", err)
	}
	b.compareSettings(ctx, contact)
	b.settled.Store(contact)
}

// refresh asks for the temperatures where they are getting old, and sees to what stands between two runs: heat that
// nobody watches, and axes that moved for someone else.
func (b *bench) refresh(ctx context.Context) {
	s := b.machine.Snapshot()
	if s.State != serialio.Listening {
		return
	}
	if time.Since(s.TempsAt) >= b.runner.PollEvery {
		b.poll(ctx)
	}
	if b.settled.Load() != contactOf(s) {
		if b.another() == nil { // it was not clear who answers
			b.greet(ctx, contactOf(s))
		}
		return
	}
	if b.run.Load() != nil {
		return
	}
	if err := b.coolUnwatched(ctx); err != nil {
		b.runner.Log.Error("heater off", "printer", b.printer.ID, "err", err)
	}
	b.compareSettings(ctx, contactOf(s))
	if b.moving.Load() {
		b.lookForMotion(ctx)
	}
}

func (b *bench) poll(ctx context.Context) {
	ctx, cancel := context.WithTimeout(ctx, 2*b.runner.PollEvery)
	defer cancel()
	if _, err := b.machine.Poll(ctx); err != nil {
		b.runner.Log.Debug("poll", "printer", b.printer.ID, "err", err)
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
		case s.State == serialio.Listening && b.settled.Load() == contactOf(s):
			return nil
		case s.State == serialio.Halted:
			return fmt.Errorf("%w: it is halted: %s", ErrNotListening, s.Fault)
		}
		if who := b.another(); who != nil {
			return &AnotherPrinterError{*who}
		}
		select {
		case <-ctx.Done():
			if cause := context.Cause(ctx); cause != ErrNotListening {
				return cause
			}
			return fmt.Errorf("%w: it is %s", ErrNotListening, s.State)
		case <-news:
		}
	}
}
