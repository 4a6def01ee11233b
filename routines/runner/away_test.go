package runner_test

import (
	"errors"
	"slices"
	"testing"
	"time"

	"fettle/routines/runner"
	"fettle/serialio/standin"
)

// A question waits with heat on, and nobody comes.
func TestHeatGoesOffAtTheAttendedLimit(t *testing.T) {
	for question, hot := range map[string]bool{"mark": true, "runner: hands away": false, "air": false, "strand": false} {
		inBubble(t, slow(), func(s *shop) {
			v := s.until(s.begin(order()).ID, question, nil)
			asked := time.Now()
			s.rest(time.Second)
			if on := s.printer.Snapshot().NozzleTargetC == 210; on != hot && question != "runner: hands away" {
				t.Errorf("%s: it is hot: %t", question, on)
			}
			s.rest(time.Until(asked.Add(10*time.Minute - 2*time.Second)))
			if on := s.printer.Snapshot().NozzleTargetC == 210; on != hot && question != "runner: hands away" {
				t.Errorf("%s: 2 s before the limit it is hot: %t", question, on)
			}
			s.rest(5 * time.Second)
			if c := s.printer.Snapshot().NozzleTargetC; c != 0 {
				t.Errorf("%s: after the limit its target is %g °C", question, c)
			}
			now := s.view(v.ID)
			if now.Question == nil || now.Question.Number != v.Question.Number {
				t.Errorf("%s: the question is gone: %+v", question, now)
			}
			wasHot := hot || question == "runner: hands away"
			if n := s.count(v.ID, "cooled"); (n == 1) != wasHot {
				t.Errorf("%s: %d times it is on record that it cooled", question, n)
			}
			s.rest(20 * time.Minute)
			s.answer(now, nil)
			s.rest(time.Minute)
			if wasHot || question == "air" { // cold as well, whoever was there may have left in half an hour
				s.asksForPresence(v.ID)
			}
			s.atPeace()
		})
	}
}

// asksForPresence fails the test unless the run waits, cold, for somebody to be there.
func (s *shop) asksForPresence(run string) {
	s.t.Helper()
	if v := s.await(run); v.Question == nil || v.Question.Name != "runner: present" {
		s.t.Errorf("it asks %+v", v.Question)
	}
	if s.printer.Snapshot().Hot {
		s.t.Error("it is hot before anybody is there")
	}
}

// A mark set while the filament sagged is set again.
func TestAMarkAnsweredLateIsSetAgain(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		v := s.until(s.begin(order()).ID, "mark", nil)
		s.rest(11 * time.Minute)
		s.answer(v, nil)
		v = s.finish(v.ID, nil)
		events := s.events(v.ID)
		late := slices.Index(events, "answered mark 1")
		again := slices.Index(events, "begun pre-feed 1, again 2")
		if v.State != runner.Finished || late < 0 || again < late || !slices.Contains(events[late:again], "answered runner: present") {
			t.Errorf("%s %s: %v", v.State, v.Cause, events)
		}
		if n := s.count(v.ID, "begun feed 1"); n != 1 {
			t.Errorf("fed %d times", n)
		}
	})
}

// An unplugged line, and a board that begins anew, while the run waits: it keeps asking, cold, and goes on.
func TestARunThatWaitsOutlivesItsLine(t *testing.T) {
	losses := map[string]func(*shop){
		"unplugged":  func(s *shop) { s.cable.cut(false); s.rest(time.Minute); s.cable.plug() },
		"restarted":  func(s *shop) { s.printer.Reset() },
		"for a wink": func(s *shop) { s.cable.cut(false); s.cable.plug() },
	}
	for name, lose := range losses {
		for _, question := range []string{"air", "mark", "leftover", "apply"} {
			inBubble(t, greeting(), func(s *shop) {
				v := s.until(s.begin(order()).ID, question, nil)
				moves := s.printer.Snapshot().Moves
				lose(s)
				s.rest(time.Minute)
				now := s.view(v.ID)
				if now.Question == nil || now.Question.Number != v.Question.Number {
					t.Fatalf("%s at %s: %s %+v", name, question, now.State, now.Question)
				}
				s.atPeace()
				if n := s.printer.Snapshot().Moves; n != moves {
					t.Errorf("%s at %s: it moved %d times", name, question, n-moves)
				}
				s.answer(now, nil)
				if question == "mark" {
					s.asksForPresence(v.ID)
				}
				if v = s.finish(v.ID, nil); v.State != runner.Finished || s.entries("steps_per_mm")[0].Standing != "verified" {
					t.Errorf("%s at %s: %s %s", name, question, v.State, v.Cause)
				}
				s.asFound(100, 100, 0)
			})
		}
	}
}

// greeting is a board that says so when it starts, as after a press of its button.
func greeting() standin.Profile {
	p := slow()
	p.Greets = true
	return p
}

// An answer that comes in the same moment as the line comes back is no way around presence and set-asides.
func TestAnAnswerAtTheMomentOfAReplugHeatsNothing(t *testing.T) {
	for after := time.Duration(0); after < 4*time.Second; after += 200 * stride * time.Millisecond {
		inBubble(t, greeting(), func(s *shop) {
			v := s.until(s.begin(order()).ID, "mark", nil)
			s.cable.cut(false)
			s.cable.plug()
			s.rest(after)
			s.answer(v, nil)
			v = s.await(v.ID)
			if v.Question == nil || v.Question.Name != "runner: present" {
				t.Errorf("%v after: %s %+v", after, v.State, v.Question)
			}
			s.atPeace()
		}, "M221 S95")
	}
}

// While filament is fed, the same ends the run: nothing is fed again by itself.
func TestARunThatFeedsEndsWithItsLine(t *testing.T) {
	losses := map[string]func(*shop){
		"unplugged": func(s *shop) { s.cable.cut(false); s.rest(time.Minute); s.cable.plug() },
		"restarted": func(s *shop) { s.printer.Reset() },
	}
	for name, lose := range losses {
		inBubble(t, greeting(), func(s *shop) {
			run := s.feeding()
			lose(s)
			v := s.await(run)
			if v.State != runner.Interrupted || v.Cause == "" {
				t.Errorf("%s: %s %q", name, v.State, v.Cause)
			}
			s.rest(2 * time.Minute)
			moves := s.printer.Snapshot().Moves
			s.rest(10 * time.Minute)
			if n := s.printer.Snapshot().Moves; n != moves {
				t.Errorf("%s: it moved %d times afterwards", name, n-moves)
			}
			s.atPeace()
			s.asFound(95, 80, 1.75)
		}, "M221 S95", "M220 S80", "M200 D1.75")
	}
}

// feeding begins a run and returns in the middle of its feed.
func (s *shop) feeding() string {
	s.t.Helper()
	run := s.until(s.begin(order()).ID, "mark", nil).ID
	s.answer(s.view(run), nil)
	s.answer(s.await(run), nil)
	s.rest(10 * time.Second)
	if v := s.view(run); v.Doing == nil || v.Doing.What != "feeding" || v.Doing.FedMM < 10 {
		s.t.Fatalf("it does not feed: %s %+v", v.State, v.Doing)
	}
	return run
}

// A run begun just before the printer is plugged in waits for its greeting, however long the board takes to start.
func TestABeginOutwaitsALongGreeting(t *testing.T) {
	starting := greeting()
	starting.ResetsOnOpen, starting.BootTime = true, 10*time.Second
	inBubble(t, starting, func(s *shop) {
		s.listening()
		s.cable.cut(false)
		s.rest(time.Minute)
		time.AfterFunc(time.Second, s.cable.plug)
		if _, err := s.runner.Begin(s.ctx(), order()); err != nil {
			t.Errorf("begin: %v", err)
		}
	})
	inBubble(t, starting, func(s *shop) {
		s.listening()
		s.cable.cut(false)
		s.rest(time.Minute)
		asked := time.Now()
		if _, err := s.runner.Begin(s.ctx(), order()); !errors.Is(err, runner.ErrNotListening) || time.Since(asked) != 3*time.Second {
			t.Errorf("nobody plugs it in: %v after %v", err, time.Since(asked))
		}
	})
}
