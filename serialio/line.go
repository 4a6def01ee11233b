package serialio

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"sync/atomic"
	"time"

	"fettle/serialio/pulse"
)

// A Line is one printer's line. Its methods are safe for use by many goroutines; Run does the work.
type Line struct {
	cfg   Config
	began time.Time
	wire  *Wire
	calls sync.Pool // of *call

	// To the loop. Those of one struct{} hold a single press: pressing again before it is seen is the same press.
	submits   chan *call
	withdraws chan uint32 // jobs, and not calls: one that was answered meanwhile may be another's by now
	stopped   chan struct{}
	halted    chan struct{}
	woken     chan struct{}
	ended     chan struct{} // closed when Run has ended
	stops     atomic.Int64  // presses of Stop and Halt; a call made before one is not sent after it
	jobs      atomic.Uint32 // the last one given out

	mu   sync.Mutex
	snap Snapshot
	news pulse.Pulse
}

// call is one Send on its way through the loop.
type call struct {
	block []byte
	job   uint32
	stops int64
	done  chan result // holds the one answer
}

type result struct {
	reply Reply
	err   error
}

// errLeft is the answer to a caller that no longer waits; it never sees it.
var errLeft = errors.New("nobody waits")

// New makes a line. It starts nothing and opens nothing.
func New(cfg Config) *Line {
	if cfg.Log == nil {
		cfg.Log = slog.New(slog.DiscardHandler)
	}
	now := time.Now()
	return &Line{
		cfg: cfg, began: now, wire: newWire(cfg.Boot),
		calls:   sync.Pool{New: func() any { return &call{done: make(chan result, 1)} }},
		submits: make(chan *call), withdraws: make(chan uint32),
		stopped: make(chan struct{}, 1), halted: make(chan struct{}, 1), woken: make(chan struct{}, 1),
		ended: make(chan struct{}),
		snap:  Snapshot{Why: "not opened yet", Since: now},
	}
}

// Send sends one printed block and waits for its fate. Callers are served in the order they come. When ctx ends first
// it returns its cause: a block that was not yet sent is never sent, one that was is awaited without the caller.
// Errors: those of this package, *FirmwareError, or the context's cause.
func (l *Line) Send(ctx context.Context, block string) (Reply, error) {
	c := l.calls.Get().(*call)
	defer l.calls.Put(c)
	c.block, c.job, c.stops = append(c.block[:0], block...), l.nextJob(), l.stops.Load()

	select {
	case l.submits <- c:
	case <-ctx.Done():
		return Reply{}, fmt.Errorf("send %s: %w", block, context.Cause(ctx))
	case <-l.ended:
		return Reply{}, fmt.Errorf("send %s: %w", block, ErrUnplugged)
	}
	r := l.await(ctx, c)
	switch {
	case errors.Is(r.err, errLeft):
		return Reply{}, fmt.Errorf("send %s: %w", block, context.Cause(ctx))
	case r.err != nil:
		return r.reply, fmt.Errorf("send %s: %w", block, r.err)
	}
	return r.reply, nil
}

// nextJob is a number that no call under way has; none is 0.
func (l *Line) nextJob() uint32 {
	for {
		if job := l.jobs.Add(1); job != 0 {
			return job
		}
	}
}

// await waits for a call's one answer. The loop never waits for anybody, so turning back is answered at once.
func (l *Line) await(ctx context.Context, c *call) result {
	select {
	case r := <-c.done:
		return r
	case <-ctx.Done():
	}
	select {
	case r := <-c.done:
		return r
	case l.withdraws <- c.job:
		return <-c.done
	}
}

// Stop ends every call as ErrStopped and tells the heaters to go off, at once. It waits for nothing; once more is
// harmless.
func (l *Line) Stop() { l.press(l.stopped) }

// Halt ends every call as ErrHalted and sends the word that kills a firmware out of band, then heaters off.
func (l *Line) Halt() { l.press(l.halted) }

func (l *Line) press(button chan struct{}) {
	l.stops.Add(1)
	nudge(button)
}

// Wake is a person who asks to go on after a halt or out of step. After a halt the port is opened anew, which restarts
// many boards.
func (l *Line) Wake() { nudge(l.woken) }

func nudge(c chan struct{}) {
	select {
	case c <- struct{}{}:
	default:
	}
}

// Snapshot is how the line stands now.
func (l *Line) Snapshot() Snapshot {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.snap
}

// Changed returns a channel that is closed when anything in Snapshot changes.
func (l *Line) Changed() <-chan struct{} { return l.news.Wait() }

// Wire is the live record of the line.
func (l *Line) Wire() *Wire { return l.wire }

// publish puts the engine's view into the snapshot.
func (l *Line) publish(s *Status) {
	l.mu.Lock()
	l.snap = Snapshot{
		State: s.State, Why: s.Why, Since: l.began.Add(s.Since),
		Temps: s.Temps, TempsAt: l.at(s.TempsAt, s.HasTemps),
		Position: s.Position, PositionAt: l.at(s.PositionAt, s.HasPosition),
		Identity: s.Identity, StopAsked: s.Asked, StopConfirmed: s.Confirmed, Fault: s.Fault, Greetings: s.Greetings,
		Breaks: s.Breaks, Unsure: s.Unsure, Counts: s.Counts,
	}
	l.mu.Unlock()
	l.news.Beat()
}

func (l *Line) at(t Mono, ever bool) time.Time {
	if !ever {
		return time.Time{}
	}
	return l.began.Add(t)
}
