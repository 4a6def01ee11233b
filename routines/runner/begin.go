package runner

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/serialio"
	"fettle/serialio/machine"
)

// Begin starts a run. It returns when the run is stored.
func (r *Runner) Begin(ctx context.Context, o Order) (RunView, error) {
	b, err := r.bench(o.Printer)
	if err != nil {
		return RunView{}, err
	}
	routine, err := r.routine(o.Routine)
	if err != nil {
		return RunView{}, err
	}
	begin, past, err := r.prepare(ctx, b, routine, o)
	if err != nil {
		return RunView{}, err
	}
	if err := b.free(ctx); err != nil {
		return RunView{}, err
	}
	run, err := r.claim(b, routine, begin)
	if err != nil {
		return RunView{}, err
	}
	run.attended, run.contact = o.Attended, b.settled.Load()
	if err := run.store(ctx, o, past); err != nil {
		run.release()
		return RunView{}, err
	}
	run.named()
	id := run.record.ID
	go run.execute() // ends with its routine; Runner.Run waits for it
	return r.View(ctx, id)
}

// prepare settles what the run starts from: its own inputs, setup and material, or those of the run it takes over.
func (r *Runner) prepare(ctx context.Context, b *bench, routine routines.Routine, o Order) (routines.Begin, []routines.Fact, error) {
	if o.TakeOver != "" {
		begin, past, err := r.takeOver(ctx, b, routine, o)
		if err == nil && routine.Check != nil {
			err = routine.Check(begin)
		}
		return begin, past, err
	}
	var begin routines.Begin
	var err error
	if begin.Setup, err = r.Book.Setup(ctx, b.printer.ID); errors.Is(err, logbook.ErrNotFound) {
		return begin, nil, fmt.Errorf("%w: %s", ErrNoSetup, b.printer.Name)
	} else if err != nil {
		return begin, nil, fmt.Errorf("read the setup: %w", err)
	}
	if begin.Material, err = r.Book.Material(ctx, o.Material); errors.Is(err, logbook.ErrNotFound) {
		return begin, nil, fmt.Errorf("%w: %q", ErrNoMaterial, o.Material)
	} else if err != nil {
		return begin, nil, fmt.Errorf("read the material: %w", err)
	}
	if begin.Inputs, err = routines.ValidateInputs(routine.Inputs, o.Inputs); err != nil {
		return begin, nil, err
	}
	if begin.Records, err = b.entriesOfKinds(ctx, begin.Material.ID, routine.Reads); err != nil {
		return begin, nil, err
	}
	if routine.Check != nil {
		err = routine.Check(begin)
	}
	return begin, nil, err
}

// takeOver gives what an ended run began with and everything it had whole.
func (r *Runner) takeOver(ctx context.Context, b *bench, routine routines.Routine, o Order) (routines.Begin, []routines.Fact, error) {
	var begin routines.Begin
	if o.Material != "" || len(o.Inputs) > 0 {
		return begin, nil, &routines.FieldError{Field: "take_over", Detail: "comes with its own inputs and material", Accept: "take_over without them, or them without it"}
	}
	record, err := r.Book.Run(ctx, o.TakeOver)
	switch {
	case errors.Is(err, logbook.ErrNotFound):
		return begin, nil, fmt.Errorf("%w: %q", ErrNoRun, o.TakeOver)
	case err != nil:
		return begin, nil, fmt.Errorf("read run %s: %w", o.TakeOver, err)
	case record.Printer != o.Printer || record.Routine != o.Routine:
		return begin, nil, &routines.FieldError{Field: "take_over", Detail: "is a run of another printer or routine", Accept: "a run of this one"}
	case !Ended(record.State):
		return begin, nil, fmt.Errorf("%w: run %s has not ended", ErrOccupied, o.TakeOver)
	}
	past, err := r.Book.FactsWhole(ctx, o.TakeOver)
	if err != nil {
		return begin, nil, fmt.Errorf("read the facts of run %s: %w", o.TakeOver, err)
	}
	if len(past) == 0 || record.Program != routine.Program {
		return begin, nil, fmt.Errorf("%w: %s", ErrNothingWhole, o.TakeOver)
	}
	if err := json.Unmarshal(record.Begin, &begin); err != nil {
		return begin, nil, fmt.Errorf("read what run %s began with: %w", o.TakeOver, err)
	}
	return begin, past, r.stillSo(ctx, b, begin)
}

// stillSo refuses to go on from a run whose printer is fitted otherwise now, or whose material was changed: its limits
// are no longer those, and what it measured may not be either.
func (r *Runner) stillSo(ctx context.Context, b *bench, begin routines.Begin) error {
	setup, err := r.Book.Setup(ctx, b.printer.ID)
	if err != nil {
		return fmt.Errorf("read the setup: %w", err)
	}
	material, err := r.Book.Material(ctx, begin.Material.ID)
	if err != nil {
		return fmt.Errorf("read the material: %w", err)
	}
	if setup.Version != begin.Setup.Version || material != begin.Material {
		return &routines.FieldError{Field: "take_over", Detail: "was measured with an earlier setup or material", Accept: "a new run"}
	}
	return nil
}

// free waits for a greeting to end and says why a printer cannot take a run now.
func (b *bench) free(ctx context.Context) error {
	if err := b.listens(ctx); err != nil {
		return err
	}
	if what := b.someoneElse(ctx); what != "" {
		return fmt.Errorf("%w: %s", ErrSomeoneElse, what)
	}
	return nil
}

// replugLimit is how long a request waits for a printer that is being plugged in, or an agent that has just started.
const replugLimit = 3 * time.Second

// listens waits where the printer is about to listen: it greets, is being given back what it is owed, or has only just
// been plugged in.
func (b *bench) listens(ctx context.Context) error {
	switch s := b.machine.Snapshot(); s.State {
	case serialio.Listening, serialio.Greeting:
		return b.awaitLine(ctx)
	case serialio.Unplugged:
		if err := b.awaitPlug(ctx); err != nil {
			return err
		}
		return b.awaitLine(ctx)
	default:
		return fmt.Errorf("%w: it is %s", ErrNotListening, s.State)
	}
}

// awaitPlug waits until the port is open. From there on it is the board's greeting that takes its time.
func (b *bench) awaitPlug(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(ctx, replugLimit)
	defer cancel()
	for {
		news := b.changed.Wait()
		s := b.machine.Snapshot()
		if s.State != serialio.Unplugged {
			return nil
		}
		select {
		case <-ctx.Done():
			return fmt.Errorf("%w: it is unplugged: %s", ErrNotListening, s.Why)
		case <-news:
		}
	}
}

// claim makes a live run that holds the printer.
func (r *Runner) claim(b *bench, routine routines.Routine, begin routines.Begin) (*run, error) {
	r.adding.Lock()
	defer r.adding.Unlock()
	return r.claimLocked(b, routine, begin)
}

// claimLocked is claim for who holds adding.
func (r *Runner) claimLocked(b *bench, routine routines.Routine, begin routines.Begin) (*run, error) {
	if r.life == nil || r.life.Err() != nil {
		return nil, ErrNotRunning
	}
	select {
	case b.typing <- struct{}{}:
		defer func() { <-b.typing }()
	default:
		return nil, fmt.Errorf("%w: a typed line is on its way", ErrOccupied)
	}
	run := &run{bench: b, routine: routine, begin: begin, handsDue: true, answers: make(chan logbook.Event, 1)}
	run.ctx, run.end = context.WithCancelCause(r.life)
	if !b.run.CompareAndSwap(nil, run) {
		run.end(nil)
		return nil, ErrOccupied
	}
	r.work.Add(1)
	b.machine.Limit(limitsOf(begin))
	return run, nil
}

// release lets go of the printer.
func (run *run) release() {
	run.end(nil)
	run.bench.run.Store(nil)
	run.bench.tell()
	run.bench.runner.work.Done()
}

func limitsOf(begin routines.Begin) machine.Limits {
	s := begin.Setup
	return machine.Limits{NozzleMaxC: min(s.NozzleCapC(), begin.Material.NozzleMaxC), BedMaxC: s.BedMaxC,
		FeedMaxMMPerS: s.FeedMaxMMPerS, BuildMM: [3]float64{s.BuildXMM, s.BuildYMM, s.BuildZMM}}
}

// store writes the run down, with the facts it takes over.
func (run *run) store(ctx context.Context, o Order, past []routines.Fact) error {
	body, err := json.Marshal(run.begin)
	if err != nil {
		return fmt.Errorf("print what the run begins with: %w", err)
	}
	run.record = logbook.RunRecord{Printer: run.bench.printer.ID, Routine: run.routine.Name, Program: run.routine.Program,
		State: Underway, Who: o.Who, From: o.TakeOver, Begin: body}
	events := []logbook.Event{{Printer: run.bench.printer.ID, Kind: "run begun", Name: run.routine.Name, Who: o.Who, Body: body}}
	for _, f := range past {
		e := logbook.Event{Printer: run.bench.printer.ID, Kind: string(f.Kind), Name: f.Name, Body: f.Body, Who: "taken over from " + o.TakeOver}
		if f.Kind == routines.Asked {
			run.number++
		}
		if f.Kind == routines.Asked || f.Kind == routines.Answered {
			e.Question = run.number
		}
		events = append(events, e)
	}
	step, err := run.bench.runner.Book.Commit(ctx, logbook.Step{Run: &run.record, Events: events})
	if err != nil {
		return fmt.Errorf("store the run: %w", err)
	}
	run.record = *step.Run
	return nil
}
