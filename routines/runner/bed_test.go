package runner_test

import (
	"strings"
	"testing"
	"time"

	"fettle/routines"
	"fettle/routines/runner"
	"fettle/serialio/gcode"
)

// onAWarmBed is a routine that warms the bed and the nozzle, streams a piece that says nothing of the bed, and asks.
func onAWarmBed() routines.Routine {
	p := gcode.Program{Steps: func(yield func(gcode.Step) bool) {
		piece().Steps(func(s gcode.Step) bool { return s.Block.Is("M140") || yield(s) })
	}}
	return routines.Routine{Name: "piece", Title: "Piece", Program: "piece 3", Do: func(r *routines.Run) (routines.Finding, error) {
		err := r.Hot(routines.Heat{NozzleC: 210, BedC: 60})
		if err == nil {
			_, err = routines.Act(r, "print", routines.Moves, streamOf(p))
		}
		return routines.Finding{Kind: "printed"}, err
	}}
}

// inThePiece begins it and returns when it has been streamed for so long.
func (s *shop) inThePiece(for_ time.Duration) string {
	s.t.Helper()
	run := s.begin(printing()).ID
	for s.pieceObeyed() == 0 {
		if v := s.view(run); v.Question != nil {
			s.answer(v, nil)
		}
		s.rest(time.Second)
	}
	s.rest(for_)
	return run
}

// What somebody does to the bed in the middle of a piece is seen, though the program says nothing of the bed.
func TestTheBedIsWatchedInTheMiddleOfAPiece(t *testing.T) {
	for _, c := range []struct {
		block    string
		times    int
		sentence string // of the run's end; "" where it goes on
	}{
		{"M140 S0", 1, "the heater of the bed was switched off at the printer"},
		{"M140 S120", 1, ""},
		{"M140 S120", 5, "the heat setting of the bed did not arrive: the printer reports 120.0"},
	} {
		onPrinter(t, greeting(), onAWarmBed(), func(s *shop) {
			run := s.inThePiece(20 * time.Second)
			for range c.times {
				if s.view(run).State == runner.Underway {
					s.atThePanel(c.block)
					s.rest(700 * time.Millisecond)
				}
			}
			s.rest(3 * time.Second)
			now := s.printer.Snapshot()
			if c.sentence == "" {
				if v := s.view(run); v.State != runner.Underway || now.BedTargetC != 60 {
					t.Errorf("%s: %s %s, the bed's target is %g °C", c.block, v.State, v.Cause, now.BedTargetC)
				}
				s.finish(run, nil)
				s.isGivenBack()
				return
			}
			v := s.await(run)
			if v.State != runner.Failed || !strings.Contains(v.Cause, c.sentence) || s.printer.Snapshot().Hot || s.pieceObeyed() == pieceMoves {
				t.Errorf("%s: %s %q, hot %t, %d obeyed", c.block, v.State, v.Cause, s.printer.Snapshot().Hot, s.pieceObeyed())
			}
		})
	}
}

// A bed that is switched off at the printer while a piece is held is no fault: the question stands, and the bed is warmed
// again when somebody goes on, by the act's own wish.
func TestABedSwitchedOffWhileAPieceIsHeldKeepsTheQuestion(t *testing.T) {
	onPrinter(t, greeting(), onAWarmBed(), func(s *shop) {
		run := s.inThePiece(20 * time.Second)
		s.pause()
		v := s.await(run)
		s.atThePanel("M140 S0")
		s.rest(5 * time.Second)
		now := s.view(run)
		if now.Question == nil || now.Question.Number != v.Question.Number || s.count(run, "cooled runner: it was switched off at the printer") != 1 || s.printer.Snapshot().Hot {
			t.Fatalf("%s %s: %v", now.State, now.Cause, s.events(run))
		}
		s.answer(now, nil)
		if v = s.finish(run, nil); v.State != runner.Finished || s.pieceObeyed() != pieceMoves {
			t.Errorf("%s %s", v.State, v.Cause)
		}
		s.isGivenBack()
	})
}
