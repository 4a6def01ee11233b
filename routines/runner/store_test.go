package runner_test

import (
	"errors"
	"testing"
	"time"

	"fettle/routines/runner"
)

// The store fails in mid-run: no new act begins, the heater goes off, and the run ends.
func TestAStoreThatFailsEndsARun(t *testing.T) {
	for _, question := range []string{"air", "mark", "leftover"} {
		inBubble(t, slow(), func(s *shop) {
			v := s.until(s.begin(order()).ID, question, nil)
			moves := s.printer.Snapshot().Moves
			s.book.Close()
			if _, err := s.runner.Answer(s.ctx(), v.ID, v.Question.Number, []byte(s.says(v.Question, nil)), "Ada"); err == nil {
				t.Errorf("%s: an answer is acknowledged that nobody keeps", question)
			}
			s.rest(11 * time.Minute)
			p := s.printer.Snapshot()
			if p.Hot || p.Moves != moves {
				t.Errorf("%s: hot: %t, moved %d times", question, p.Hot, p.Moves-moves)
			}
		})
	}
	inBubble(t, slow(), func(s *shop) {
		s.feeding()
		s.book.Close()
		s.rest(2 * time.Minute)
		p := s.printer.Snapshot()
		moves := p.Moves
		s.rest(time.Minute)
		if p.Hot || s.printer.Snapshot().Moves != moves {
			t.Errorf("hot: %t, moved %d times", p.Hot, s.printer.Snapshot().Moves-moves)
		}
		if v, err := s.runner.Begin(s.ctx(), order()); err == nil {
			t.Errorf("a run begins without a store: %+v", v)
		}
	})
}

// A store that fails when a run ends, and heals later: the end is kept then, and until then the printer is held.
func TestTheEndOfARunIsKeptWhenTheStoreHeals(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		run := s.until(s.begin(order()).ID, "mark", nil).ID
		s.write.set(func() {
			time.Sleep(25 * time.Second) // longer than anybody waits for it
		})
		s.runner.Stop(printerID, "Bob")
		s.rest(2 * time.Minute)
		if s.printer.Snapshot().Hot {
			t.Error("it is hot")
		}
		if v := s.view(run); v.State != runner.Underway || v.Question != nil || v.Doing == nil {
			t.Errorf("%s %+v %+v", v.State, v.Doing, v.Question)
		}
		if _, err := s.runner.Begin(s.ctx(), order()); !errors.Is(err, runner.ErrOccupied) {
			t.Errorf("a run begins: %v", err)
		}
		s.write.set(nil)
		s.rest(time.Minute)
		if v := s.view(run); v.State != runner.Stopped || s.count(run, "run ended") != 1 {
			t.Errorf("%s %s: %v", v.State, v.Cause, s.events(run))
		}
		s.atPeace()
		if v := s.finish(s.begin(order()).ID, nil); v.State != runner.Finished {
			t.Errorf("%s %s", v.State, v.Cause)
		}
	})
}
