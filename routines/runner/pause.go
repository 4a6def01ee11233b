package runner

import (
	"context"
	"fmt"
	"time"

	"fettle/routines"
	"fettle/serialio"
)

// Pause holds the program that is streamed to a printer at its next line and asks whether to go on. Heat stays on within
// the attended limit. Harmless twice. One that comes behind a program's last line, or between two programs of a run that
// asks nothing in between, holds the next program before its first line; no question but its own serves it. Where no program
// follows there is nothing to hold, and the run ends as it would have. Acts that are no program are not held. It is
// ErrNothingStreamed before a run's first program, while the routine asks something between two, and where no run is.
func (r *Runner) Pause(printer, who string) error {
	b, err := r.bench(printer)
	if err != nil {
		return err
	}
	if run := b.run.Load(); run == nil || !run.pause() {
		return fmt.Errorf("%w: %s", ErrNothingStreamed, b.printer.Name)
	}
	r.note(note{printer, "pause pressed", who})
	return nil
}

// goOn names the question of a pause.
const goOn = ownPrefix + "go on"

// pause asks for the program to be held at its next line, or at the first one of the next, and reports false where there is
// none. Whoever presses while the pause asks means that one.
func (run *run) pause() bool {
	run.mu.Lock()
	defer run.mu.Unlock()
	if !run.streaming && !run.goesOn {
		return false
	}
	if run.open == nil || run.open.Name != goOn {
		run.holding.Store(true)
	}
	return true
}

// streams says whether a program is under way. A question that is asked meanwhile does not survive a restart: the act has
// begun, and is not done again. A pause that is asked for outlives the program: it holds the next.
func (run *run) streams(yes bool) {
	run.mu.Lock()
	defer run.mu.Unlock()
	run.streaming, run.goesOn = yes, !yes
}

// lostPlace says that the line was away while a program was held: it does not go on from there.
func (run *run) lostPlace() error {
	run.mu.Lock()
	streaming := run.streaming
	run.mu.Unlock()
	if s := run.bench.machine.Snapshot(); streaming && (s.State != serialio.Listening || contactOf(s) != run.contact) {
		return errAwayHeld
	}
	return nil
}

// pause holds the program until somebody says to go on. One that moves and went cold meanwhile, or was left alone for long,
// needs a person, heat and hands away again.
func (s *streaming) pause(ctx context.Context) error {
	run, begun := s.run, time.Now()
	defer func() { s.held += time.Since(begun) }()
	hot := s.hot()
	s.keep(ctx, "held")
	_, cooled, err := run.wait(ctx, s.askGoOn(), nil, false)
	if err != nil {
		return fmt.Errorf("ask whether to go on: %w", err)
	}
	if err := s.ready(ctx, cooled, hot); err != nil {
		return err
	}
	s.keep(ctx, "gone on")
	s.show()
	return nil
}

// hot is what the program stands at: as the act wished, but for a nozzle that it has set otherwise.
func (s *streaming) hot() routines.Heat {
	hot := s.run.wish
	if nozzleC, known := s.machine().Aim(); known && nozzleC > 0 {
		hot.NozzleC = nozzleC
	}
	return hot
}

func (s *streaming) ready(ctx context.Context, cooled bool, hot routines.Heat) error {
	run := s.run
	if run.need != routines.Moves || (!cooled && run.attended) {
		run.handsDue = false
		return nil
	}
	if err := s.oweHeat(ctx); err != nil { // it was given back with the heat
		return err
	}
	run.handsDue = true
	return (&host{run}).Ready(ctx, run.need, hot)
}

// askGoOn is answered with the hands away: the program moves on at once.
func (s *streaming) askGoOn() routines.Question {
	yes := true
	q := routines.Question{Name: goOn, Figure: "go_on", Text: "Go on?", Reason: "The program goes on from its next line.",
		Fields: []routines.Field{{Name: "go_on", Label: "Go on", Kind: routines.Yes, Must: &yes}}, Shown: s.progress()}
	if s.run.need == routines.Moves {
		q.Warning = []string{cautionHands}
	}
	return q
}
