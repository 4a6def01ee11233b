package runner

import (
	"context"
	"fmt"
	"time"

	"fettle/routines"
	"fettle/serialio"
)

// Pause holds the program that is streamed to a printer at its next line and asks whether to go on. Heat stays on within
// the attended limit. Harmless twice. It is ErrNothingStreamed where nothing is.
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

// pause asks the stream to hold at its next line, and reports false where there is none.
func (run *run) pause() bool {
	run.mu.Lock()
	defer run.mu.Unlock()
	if run.streaming {
		run.holding.Store(true)
	}
	return run.streaming
}

// streams says whether a program is under way. A question that is asked meanwhile does not survive a restart: the act has
// begun, and is not done again.
func (run *run) streams(yes bool) {
	run.mu.Lock()
	run.streaming = yes
	run.mu.Unlock()
	run.holding.Store(false)
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
	run.holding.Store(false) // whoever pressed meanwhile meant this pause
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
	q := routines.Question{Name: ownPrefix + "go on", Figure: "go_on", Text: "Go on?", Reason: "The program goes on from its next line.",
		Fields: []routines.Field{{Name: "go_on", Label: "Go on", Kind: routines.Yes, Must: &yes}}, Shown: s.progress()}
	if s.run.need == routines.Moves {
		q.Warning = []string{cautionHands}
	}
	return q
}
