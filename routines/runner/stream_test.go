package runner_test

import (
	"context"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/routines/runner"
	"fettle/serialio/gcode"
	"fettle/serialio/standin"
)

// withRoutine opens a shop whose only routine is another one than the feed check.
func withRoutine(t *testing.T, r routines.Routine, test func(*shop)) {
	t.Helper()
	onPrinter(t, greeting(), r, test)
}

func onPrinter(t *testing.T, p standin.Profile, r routines.Routine, test func(*shop)) {
	t.Helper()
	inBubble(t, p, func(s *shop) {
		s.shutDown()
		s.check = r
		s.open()
		test(s)
	}, "M221 S95", "M220 S80", "M200 D1.75")
}

// heatsAndStreams is a routine that heats to 210 °C and streams an invented piece: 100 s of moves of 0.2 s each.
func heatsAndStreams(p gcode.Program) routines.Routine {
	return routines.Routine{Name: "piece", Title: "Piece", Program: "piece 1", Do: func(r *routines.Run) (routines.Finding, error) {
		if err := r.Hot(routines.Heat{NozzleC: 210}); err != nil {
			return routines.Finding{}, err
		}
		done, err := routines.Act(r, "print", routines.Moves, streamOf(p))
		return routines.Finding{Kind: "printed", Values: []routines.Value{{Name: "lines", Value: float64(done.Lines)}}}, err
	}}
}

func streamOf(p gcode.Program) func(context.Context, routines.Printer) (routines.Streamed, error) {
	return func(ctx context.Context, printer routines.Printer) (routines.Streamed, error) {
		return printer.Stream(ctx, p)
	}
}

const pieceMoves = 500

// piece leaves behind whatever a program may: heat, fan, a setting of the firmware.
func piece() gcode.Program {
	return gcode.Program{Steps: func(yield func(gcode.Step) bool) {
		for _, line := range []string{"G28", "M83", "M204 P800", "M106 S128", "M104 S212", "M140 S50", "G1 Z0.3 F600"} {
			b, _ := gcode.Parse(line)
			if !yield(gcode.Step{Block: b}) {
				return
			}
		}
		words := []gcode.Word{{Letter: 'G', Value: 1}, {Letter: 'X'}, {Letter: 'E', Value: 0.3}, {Letter: 'F', Value: 3000}}
		for i := range pieceMoves {
			words[1].Value = float64(100 + 10*(i%2))
			if !yield(gcode.Step{Block: gcode.Block{Words: words}}) {
				return
			}
		}
	}}
}

const (
	pieceBefore = 7 // lines before its moves
	pieceLines  = pieceBefore + pieceMoves
)

func printing() runner.Order {
	return runner.Order{Printer: printerID, Routine: "piece", Material: rigid.ID, Who: "Ada", Attended: true}
}

// streaming begins the piece and returns when it has been streamed for so long. Homing takes the first 11 s of it.
func (s *shop) streaming(for_ time.Duration) string {
	s.t.Helper()
	v := s.until(s.begin(printing()).ID, "runner: hands away", nil)
	s.answer(v, nil)
	s.rest(for_)
	if v = s.view(v.ID); v.Doing == nil || v.Doing.What != "streaming" || v.Doing.Lines == 0 {
		s.t.Fatalf("it does not stream: %s %s %+v", v.State, v.Cause, v.Doing)
	}
	return v.ID
}

// streamed is how the stream of a run went, by its record, and whether it is on record once and before the run's end.
func (s *shop) streamed(run string) (name string, done routines.Streamed) {
	s.t.Helper()
	found, ended := 0, false
	for _, e := range s.stored(run) {
		ended = ended || e.Kind == "run ended"
		if e.Kind == "streamed" {
			found++
			name = e.Name
			if err := json.Unmarshal(e.Body, &done); err != nil || ended {
				s.t.Errorf("%s %v, behind the run's end: %t", e.Body, err, ended)
			}
		}
	}
	if found != 1 {
		s.t.Errorf("%d streams are on record: %v", found, s.events(run))
	}
	return name, done
}

// takesTime makes each line take the time that it takes on a wire.
func (s *shop) takesTime() {
	s.before.set(func(string) error { time.Sleep(3 * time.Millisecond); return nil })
}

// pieceObeyed is how many of the piece's moves the printer has obeyed.
func (s *shop) pieceObeyed() (n int) {
	return len(slices.DeleteFunc(s.obeyed("G1 X"), func(line string) bool { return !strings.Contains(line, "E0.3") }))
}

// isGivenBack holds that the printer is as it was found: cold, its fan off, its settings its own.
func (s *shop) isGivenBack() {
	s.t.Helper()
	s.atPeace()
	now := s.printer.Snapshot()
	if now.Fan != 0 {
		s.t.Errorf("the fan is at %g", now.Fan)
	}
	if p := s.inUse("M204", 'P'); p != 1000 {
		s.t.Errorf("M204 P is %g", p)
	}
	s.asFound(95, 80, 1.75)
}

func TestAPieceIsStreamed(t *testing.T) {
	withRoutine(t, heatsAndStreams(piece()), func(s *shop) {
		run := s.streaming(time.Minute)
		at := s.view(run).Doing
		if at.OfLines != pieceLines || at.Lines < 100 || at.Bytes == 0 || at.OfBytes < at.Bytes || at.LeftS < 10 || at.LastedS+at.LeftS-at.OfS > 0.11 {
			t.Errorf("it is at %+v", at)
		}
		v := s.finish(run, nil)
		name, done := s.streamed(run)
		if v.State != runner.Finished || name != "whole" || done.Lines != pieceLines || done.OfLines != pieceLines || done.Unsure != 0 || s.pieceObeyed() != pieceMoves {
			t.Errorf("%s %s: %s %+v; %d obeyed", v.State, v.Cause, name, done, s.pieceObeyed())
		}
		if n := s.count(run, "streaming"); n != 19 { // each twentieth, and its end is an event of its own
			t.Errorf("its progress is on record %d times", n)
		}
		s.isGivenBack()
	})
}

func TestAPauseHoldsThePieceAtALine(t *testing.T) {
	withRoutine(t, heatsAndStreams(piece()), func(s *shop) {
		run := s.streaming(30 * time.Second)
		s.pause()
		s.pause() // harmless twice
		v := s.await(run)
		if v.Question == nil || v.Question.Name != "runner: go on" || v.Question.CoolsAt == nil || v.Doing != nil {
			t.Fatalf("%s %+v", v.State, v.Question)
		}
		obeyed := s.pieceObeyed()
		s.rest(5 * time.Minute)
		s.pause() // the same pause
		if n := s.pieceObeyed(); n != obeyed || s.printer.Snapshot().Queued > 0 || s.printer.Snapshot().NozzleTargetC != 212 {
			t.Errorf("held, it obeyed %d more; %g °C", n-obeyed, s.printer.Snapshot().NozzleTargetC)
		}
		if _, err := s.runner.TakeBack(s.ctx(), run, "Bob"); !errors.Is(err, runner.ErrNothingToTakeBack) {
			t.Errorf("taken back: %v", err)
		}
		s.answer(s.view(run), nil)
		v = s.finish(run, nil)
		_, done := s.streamed(run)
		if v.State != runner.Finished || s.pieceObeyed() != pieceMoves || done.PausedS < 299 || s.count(run, "asked runner: go on") != 1 {
			t.Errorf("%s %s: %d obeyed, %+v", v.State, v.Cause, s.pieceObeyed(), done)
		}
		if pressed := len(slices.DeleteFunc(s.stored(""), func(e logbook.Event) bool { return e.Kind != "pause pressed" || e.Who != "Bob" })); pressed != 3 {
			t.Errorf("pressed three times, on record %d times", pressed)
		}
		if s.count(run, "asked runner: hands away") != 1 || s.count(run, "streaming held") != 1 || s.count(run, "streaming gone on") != 1 {
			t.Error(s.events(run))
		}
		s.isGivenBack()
	})
}

func (s *shop) pause() {
	s.t.Helper()
	if err := s.runner.Pause(printerID, "Bob"); err != nil {
		s.t.Error(err)
	}
}

// Nobody goes on within the attended limit: it is cold, and needs somebody there, heat, and hands away to go on.
func TestAPauseGoesCold(t *testing.T) {
	withRoutine(t, heatsAndStreams(piece()), func(s *shop) {
		run := s.streaming(30 * time.Second)
		s.pause()
		v := s.await(run)
		s.rest(11 * time.Minute)
		if s.printer.Snapshot().Hot {
			t.Error("it is hot after 11 minutes")
		}
		s.answer(v, nil)
		s.asksForPresence(run)
		s.answer(s.view(run), nil)
		v = s.await(run)
		if v.Question == nil || v.Question.Name != "runner: hands away" || s.printer.Snapshot().NozzleTargetC != 212 {
			t.Errorf("%+v at %g °C", v.Question, s.printer.Snapshot().NozzleTargetC)
		}
		obeyed := s.pieceObeyed()
		s.answer(v, nil)
		s.rest(5 * time.Second)
		if now := s.printer.Snapshot(); now.BedTargetC != 50 || s.pieceObeyed() != obeyed {
			t.Errorf("on a bed of %.0f of %g °C it went on", now.BedC, now.BedTargetC)
		}
		if v = s.finish(run, nil); v.State != runner.Finished || s.pieceObeyed() != pieceMoves {
			t.Errorf("%s %s: %d obeyed", v.State, v.Cause, s.pieceObeyed())
		}
		s.isGivenBack()
	})
}

func TestOnlyAStreamIsPaused(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		s.listening()
		refused := func(when string) {
			t.Helper()
			if err := s.runner.Pause(printerID, "Bob"); !errors.Is(err, runner.ErrNothingStreamed) {
				t.Errorf("%s: %v", when, err)
			}
		}
		refused("at rest")
		s.until(s.begin(order()).ID, "mark", nil)
		refused("while it asks")
		if err := s.runner.Pause("nobody", "Bob"); !errors.Is(err, runner.ErrNoPrinter) {
			t.Error(err)
		}
	})
}
