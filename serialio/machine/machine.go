// Package machine is what may be asked of a printer: heat, feed, a program, read and write settings, one typed line. Each
// verb is held to the printer's limits before a byte leaves.
//
// Owns: the limits, the closed lists of words, the rules by which heat is watched and moves are paced.
// Guarantees: nothing that blocks the printer for long is ever sent; heat is watched from outside while it is waited
// for, while filament is fed and while a program is streamed; every verb sets the modes it needs and relies on none; a
// refusal sends nothing that changes anything.
// Does not do: decide when to heat or move, ask a person, keep a record, send the stop after a failure: whoever calls
// does. It is not a safety device.
// Read next: words.go (the closed lists), heat.go, watch.go, bed_watch.go, feed.go, single.go, program.go, track.go, stream.go, then
// routines/runner.
package machine

import (
	"context"
	"sync"
	"time"

	"fettle/serialio"
)

// Line is what this room needs of the printer's line; *serialio.Line is one.
type Line interface {
	Run(ctx context.Context) error
	Send(ctx context.Context, block string) (serialio.Reply, error)
	Stop()
	Halt()
	Wake()
	Snapshot() serialio.Snapshot
	Changed() <-chan struct{}
	Wire() *serialio.Wire
}

// A Machine is one printer as it may be used.
type Machine struct {
	line    Line
	speedup float64
	aim     aim // of the nozzle
	bedAim  aim
	scopes  scopes

	mu     sync.Mutex // guards what follows; never held while the line is asked
	limits Limits
	modes  modes // as typed by a person; sent anew before each typed move
}

// New starts nothing. speedup is how much faster than real time a stand-in runs; 0 and 1 mean a real printer.
func New(line Line, speedup float64) *Machine {
	if speedup <= 0 {
		speedup = 1
	}
	m := &Machine{line: line, speedup: speedup}
	m.scopes.now.Store(newScope())
	return m
}

// Run runs the line until ctx ends.
func (m *Machine) Run(ctx context.Context) error { return m.line.Run(ctx) }

// Snapshot is the line as it stands.
func (m *Machine) Snapshot() serialio.Snapshot { return m.line.Snapshot() }

// Changed returns a channel that is closed at the next change of the snapshot.
func (m *Machine) Changed() <-chan struct{} { return m.line.Changed() }

// Wire is the record of what went over the line.
func (m *Machine) Wire() *serialio.Wire { return m.line.Wire() }

// Wake brings a halted line, or one that is out of step, back.
func (m *Machine) Wake() { m.line.Wake() }

// clock counts printer time from now on: real time, or what a stand-in makes of it.
func (m *Machine) clock() func() time.Duration {
	began := time.Now()
	return func() time.Duration { return time.Duration(float64(time.Since(began)) * m.speedup) }
}

// pause waits for d of printer time, or until ctx ends.
func (m *Machine) pause(ctx context.Context, d time.Duration) error {
	if d <= 0 {
		return context.Cause(ctx)
	}
	timer := time.NewTimer(time.Duration(float64(d) / m.speedup))
	defer timer.Stop()
	select {
	case <-timer.C:
		return nil
	case <-ctx.Done():
		return context.Cause(ctx)
	}
}
