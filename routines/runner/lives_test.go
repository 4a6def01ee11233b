package runner_test

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"fettle/routines/runner"
)

// A shutdown while the run waits for a person: the next life asks the same, and everything before stays done.
func TestARunThatAsksIsTakenUpByTheNextLife(t *testing.T) {
	for _, question := range []string{"air", "runner: present", "runner: hands", "mark", "strand", "leftover", "apply", "verify"} {
		t.Run(question, func(t *testing.T) {
			t.Parallel()
			inBubble(t, slow(), func(s *shop) {
				v := s.until(s.begin(order()).ID, question, nil)
				before := s.events(v.ID)
				s.shutDown()
				if s.printer.Snapshot().NozzleTargetC != 0 {
					t.Error("it is left hot")
				}
				s.open()
				s.goesOn(v.ID, before, person{"verify": `{"verify":true}`})
			}, "M221 S95", "M220 S80", "M200 D1.75")
		})
	}
}

// goesOn drives a run of an earlier life to its end, and fails the test where anything is asked or done twice, or moves
// before somebody is there.
func (s *shop) goesOn(run string, before []string, p person) {
	s.t.Helper()
	moves := s.printer.Snapshot().Moves
	s.listening()
	s.rest(time.Minute)
	if n := s.printer.Snapshot().Moves; n != moves || s.printer.Snapshot().Hot {
		s.t.Errorf("nobody has said anything yet, it moved %d times, hot: %t", n-moves, s.printer.Snapshot().Hot)
	}
	v, _ := s.drive(run, p)
	if v.State != runner.Finished {
		s.t.Errorf("it is %s: %s", v.State, v.Cause)
	}
	after := s.events(run)[len(before):]
	for i, e := range after {
		kind, name, _ := strings.Cut(e, " ")
		if kind == "begun" && slices.Contains(before, e) {
			s.t.Errorf("%s is done again", name)
		}
		if kind == "asked" && !strings.HasPrefix(name, "runner:") && slices.Contains(before, "answered "+name) {
			s.t.Errorf("%s is asked again", name)
		}
		if kind == "begun" && strings.Contains(name, "feed") && !slices.Contains(after[:i], "answered runner: present") {
			s.t.Errorf("%s begins before anybody is there: %v", name, after)
		}
	}
	s.atPeace()
	s.asFound(95, 80, 1.75)
}

// A shutdown while something is being done.
func TestAShutdownAtWork(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		run := s.feeding()
		s.shutDown()
		s.rest(5 * time.Second) // what is in its queue
		moves := s.printer.Snapshot().Moves
		if s.printer.Snapshot().Hot {
			t.Error("it is left hot")
		}
		s.open()
		s.listening()
		v := s.view(run)
		if v.State != runner.Interrupted || v.Cause != "the agent was shut down" || s.printer.Snapshot().Moves > moves {
			t.Errorf("fed: %s %s", v.State, v.Cause)
		}
		s.atPeace()
		s.asFound(95, 80, 1.75)
	}, "M221 S95", "M220 S80", "M200 D1.75")
	inBubble(t, slow(), func(s *shop) { // nothing has begun while it heats: it is as good as asked
		v := s.until(s.begin(order()).ID, "runner: present", nil)
		s.answer(v, nil)
		s.rest(20 * time.Second)
		if v = s.view(v.ID); v.Doing == nil || v.Doing.What != "heating" {
			t.Fatalf("it does not heat: %+v", v.Doing)
		}
		before := s.events(v.ID)
		s.shutDown()
		s.open()
		s.goesOn(v.ID, before, nil)
	}, "M221 S95", "M220 S80", "M200 D1.75")
}

func TestARunOfAnotherProgramIsNotTakenUp(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		run := s.until(s.begin(order()).ID, "mark", nil).ID
		s.shutDown()
		s.check.Program += ", changed"
		s.open()
		s.rest(time.Minute)
		if v := s.view(run); v.State != runner.Interrupted || !strings.Contains(v.Cause, "the program changed") {
			t.Errorf("%s %q", v.State, v.Cause)
		}
		s.atPeace()
	})
}

// The agent is killed at each event of a run in turn. The next life finds the logbook as it was then, and the printer as
// it was left: hot, with moves in its queue.
func TestAKillAtAnyEventRepeatsNothing(t *testing.T) {
	var last int
	verify := person{"verify": `{"verify":true}`}
	inBubble(t, slow(), func(s *shop) {
		last = len(s.stored(s.finish(s.begin(order()).ID, verify).ID))
	})
	for n := 1; n < last; n += stride {
		t.Run(fmt.Sprint("event ", n), func(t *testing.T) {
			t.Parallel()
			inBubble(t, slow(), func(s *shop) {
				run := s.begin(order()).ID
				s.isTakenUp(run, s.killAt(run, n, verify), verify)
			}, "M221 S95", "M220 S80", "M200 D1.75")
		})
	}
}

// killAt drives a run until whatever is stored after its n-th event, and then takes logbook and printer as they are. It
// returns how many events were on the disk then: a run does not wait until it is watched.
func (s *shop) killAt(run string, n int, p person) (kept int) {
	s.t.Helper()
	var frozen atomic.Bool
	released := make(chan struct{})
	s.before.set(func(string) error {
		if frozen.Load() {
			<-released
		}
		return nil
	})
	copied := filepath.Join(filepath.Dir(s.path), "killed.db")
	killed := make(chan struct{})
	s.atEvent(run, n, func() {
		frozen.Store(true)
		kept = len(s.stored(run))
		s.cable.cut(false)
		if err := s.book.Copy(s.ctx(), copied); err != nil {
			s.t.Error(err)
		}
		close(killed)
		<-released
	})
	for dead := false; !dead; {
		select {
		case <-killed:
			dead = true
		default:
			if v := s.view(run); v.Question != nil && !frozen.Load() {
				go s.runner.Answer(s.ctx(), run, v.Question.Number, []byte(s.says(v.Question, p)), "Ada") // ends with its life
			}
			s.rest(time.Second)
		}
	}
	close(released)
	s.shutDown()
	s.before.set(nil)
	s.write.set(nil)
	s.path = copied
	s.rest(30 * time.Second)
	s.cable.plug()
	s.open()
	if now := len(s.stored(run)); kept < n || now < kept {
		s.t.Fatalf("%d of %d events are kept, %d were on the disk", now, n, kept)
	}
	return kept
}

// isTakenUp judges how the next life goes on with a run that was killed.
func (s *shop) isTakenUp(run string, n int, p person) {
	s.t.Helper()
	before := s.events(run)[:n]
	last := before[n-1]
	if strings.HasPrefix(last, "asked ") || strings.HasPrefix(last, "answered ") {
		s.goesOn(run, before, p)
		return
	}
	moves := s.printer.Snapshot().Moves
	s.listening()
	s.rest(time.Minute)
	v := s.view(run)
	if v.State != runner.Interrupted {
		s.t.Errorf("after %q it is %s", last, v.State)
	}
	if n := s.printer.Snapshot().Moves; n != moves {
		s.t.Errorf("after %q it moved %d times", last, n-moves)
	}
	s.atPeace()
	s.asFound(95, 80, 1.75)
}
