package runner

import (
	"context"
	"fmt"
	"log/slog"
	"maps"
	"sync"
	"sync/atomic"
	"time"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/serialio/machine"
	"fettle/serialio/pulse"
)

// Config is what a Runner is made of.
type Config struct {
	Book     *logbook.Book
	Routines []routines.Routine
	Connect  func(logbook.Printer) machine.Line // makes the line of a printer; starts nothing
	Speedup  float64                            // how much faster than real time a stand-in runs; 0 and 1 mean a real printer
	Log      *slog.Logger
	// AttendedLimit is how long a heater stays on while a question waits. 10 min where 0.
	AttendedLimit time.Duration
	// PollEvery is how old a temperature may get before it is asked for again. 2 s where 0.
	PollEvery time.Duration
	// LineLimit is how long a run that has something to do waits for a line that went away. 60 s where 0.
	LineLimit time.Duration
}

// Runner executes routines on printers.
type Runner struct {
	Config
	benches atomic.Pointer[map[string]*bench] // replaced whole under adding; read without a lock, by a stop above all
	adding  sync.Mutex
	life    context.Context // of Run; nil before
	lines   context.Context // outlives life by what is owed
	work    sync.WaitGroup  // runs
	watches sync.WaitGroup  // benches
	changed pulse.Pulse
	notes   chan note
	ready   chan struct{}
}

// New makes a Runner and starts nothing.
func New(c Config) *Runner {
	if c.AttendedLimit == 0 {
		c.AttendedLimit = 10 * time.Minute
	}
	if c.PollEvery == 0 {
		c.PollEvery = 2 * time.Second
	}
	if c.LineLimit == 0 {
		c.LineLimit = time.Minute
	}
	r := &Runner{Config: c, notes: make(chan note, 64), ready: make(chan struct{})}
	r.benches.Store(&map[string]*bench{})
	return r
}

// payLimit bounds how long giving back what is owed may take when a run or the agent ends.
const payLimit = 20 * time.Second

// Run opens the lines of all printers, takes up the runs that wait for an answer, and blocks until ctx ends and all
// that it started has ended: first the runs, then what is owed, then the lines.
func (r *Runner) Run(ctx context.Context) error {
	lines, closeLines := context.WithCancel(context.WithoutCancel(ctx))
	defer closeLines()
	life, end := context.WithCancelCause(context.WithoutCancel(ctx))
	defer end(nil)

	printers, err := r.Book.Printers(lines)
	if err != nil {
		return fmt.Errorf("read the printers: %w", err)
	}
	r.adding.Lock() // nobody's new run comes before those that wait
	r.life, r.lines = life, lines
	for _, p := range printers {
		r.place(p)
	}
	err = r.takeUp(lines)
	r.adding.Unlock()
	if err == nil {
		close(r.ready)
		r.writeNotes(ctx) // until ctx ends
	}

	r.adding.Lock() // no run begins from here on
	end(errShutdown)
	r.adding.Unlock()
	r.work.Wait()
	r.settleAll()
	closeLines()
	r.watches.Wait()
	r.writeLastNotes()
	if err != nil {
		return fmt.Errorf("take up the runs: %w", err)
	}
	return nil
}

// Ready is closed when Run knows its printers and has taken up the runs that wait.
func (r *Runner) Ready() <-chan struct{} { return r.ready }

// place sets up a printer's bench and starts its watch. The caller holds adding.
func (r *Runner) place(p logbook.Printer) *bench {
	b := newBench(r, p)
	next := maps.Clone(*r.benches.Load())
	next[p.ID] = b
	r.benches.Store(&next)
	r.watches.Go(func() { b.keepLine(r.lines) }) // ends with lines
	r.watches.Go(func() { b.watch(r.lines) })    // ends with lines
	return b
}

func (r *Runner) bench(printer string) (*bench, error) {
	b, ok := (*r.benches.Load())[printer]
	if !ok {
		return nil, fmt.Errorf("%w: %q", ErrNoPrinter, printer)
	}
	return b, nil
}

// settleAll gives back what is owed to every printer that listens, all at once.
func (r *Runner) settleAll() {
	ctx, cancel := context.WithTimeout(context.Background(), payLimit)
	defer cancel()
	var all sync.WaitGroup
	for _, b := range *r.benches.Load() {
		all.Go(func() {
			if err := b.settle(ctx); err != nil {
				r.Log.Error("not given back at the end", "printer", b.printer.ID, "err", err)
			}
		})
	}
	all.Wait()
}

// Changed returns a channel that is closed when a reading, a line or a run changes next.
func (r *Runner) Changed() <-chan struct{} { return r.changed.Wait() }

func (r *Runner) routine(name string) (routines.Routine, error) {
	for _, known := range r.Routines {
		if known.Name == name {
			return known, nil
		}
	}
	return routines.Routine{}, fmt.Errorf("%w: %q", ErrNoRoutine, name)
}
