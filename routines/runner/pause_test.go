package runner_test

import (
	"errors"
	"testing"
	"time"

	"fettle/routines"
	"fettle/routines/runner"
)

// A run between two programs takes a pause, and so does one behind a program's last line; the next program is held before
// its first line.
func TestAPauseBetweenTwoProgramsHoldsTheSecond(t *testing.T) {
	for _, while := range []string{"M400", "two acts"} {
		pressed := make(chan func(), 1)
		twice := routines.Routine{Name: "piece", Title: "Piece", Program: "piece 4", Do: func(r *routines.Run) (routines.Finding, error) {
			err := r.Hot(routines.Heat{NozzleC: 210})
			for _, act := range []string{"first", "second"} {
				if err == nil {
					_, err = routines.Act(r, act, routines.Moves, streamOf(piece()))
				}
				if act == "first" && while == "two acts" {
					select {
					case press := <-pressed:
						press()
					default:
					}
				}
			}
			return routines.Finding{Kind: "printed"}, err
		}}
		onPrinter(t, greeting(), twice, func(s *shop) {
			refused := func() {
				if err := s.runner.Pause(printerID, "Bob"); !errors.Is(err, runner.ErrNothingStreamed) {
					t.Errorf("%s: before the first: %v", while, err)
				}
			}
			v := s.until(s.begin(printing()).ID, "runner: hands away", nil)
			refused()
			if while == "two acts" {
				pressed <- s.pause
			} else {
				last := true
				s.before.set(func(block string) error {
					if block == "M400" && last && s.pieceObeyed() > pieceMoves/2 {
						last = false
						s.pause()
					}
					return nil
				})
			}
			s.answer(v, nil)
			v = s.await(v.ID)
			if v.Question == nil || v.Question.Name != "runner: go on" || s.pieceObeyed() != pieceMoves {
				t.Fatalf("%s: %s %s %+v, %d obeyed", while, v.State, v.Cause, v.Question, s.pieceObeyed())
			}
			s.rest(time.Minute)
			homed := len(s.obeyed("G28"))
			if homed != 1 || s.pieceObeyed() != pieceMoves {
				t.Errorf("%s: held, it homed %d times and obeyed %d", while, homed, s.pieceObeyed())
			}
			s.answer(v, nil)
			if v = s.finish(v.ID, nil); v.State != runner.Finished || s.pieceObeyed() != 2*pieceMoves || s.count(v.ID, "asked runner: go on") != 1 {
				t.Errorf("%s: %s %s, %d obeyed", while, v.State, v.Cause, s.pieceObeyed())
			}
			s.isGivenBack()
		})
	}
}

// A pause that no program follows ends with the run, and holds nothing of the next.
func TestAPauseThatNothingFollowsEndsWithTheRun(t *testing.T) {
	onPrinter(t, greeting(), heatsAndStreams(piece()), func(s *shop) {
		for range 2 {
			last := true
			s.before.set(func(block string) error {
				if block == "M400" && last && s.pieceObeyed() > 0 {
					last = false
					s.pause()
				}
				return nil
			})
			run := s.inThePiece(0)
			if v := s.finish(run, nil); v.State != runner.Finished || s.count(run, "asked runner: go on") != 0 {
				t.Errorf("%s %s: %v", v.State, v.Cause, s.events(run))
			}
			s.before.set(func(string) error { return nil })
			if err := s.runner.Pause(printerID, "Bob"); !errors.Is(err, runner.ErrNothingStreamed) {
				t.Error(err)
			}
		}
	})
}
