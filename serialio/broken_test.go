package serialio

import (
	"flag"
	"testing"
)

var traced = flag.Uint64("seed", 0, "play this seed alone, and log its conversation")

var sessions = flag.Int("sessions", defaultSessions, "broken conversations to play")

// TestBrokenConversations plays conversations over bad wires against the board's own rules. The damage is drawn from
// the seed alone.
func TestBrokenConversations(t *testing.T) {
	var sum verdict
	var reached tally
	first, last := uint64(1), uint64(*sessions)
	if *traced != 0 {
		first, last = *traced, *traced
	}
	for seed := first; seed <= last; seed++ {
		s := newSession(seed, 60)
		if *traced != 0 {
			s.trace = func(mark string, text string) { t.Logf("%12v %s %q", s.now, mark, text) }
		}
		v := s.run()
		sum.told += v.told
		sum.damaged += v.damaged
		sum.twins += v.twins
		reached.add(s.engine.tally)
		if v.bad() {
			t.Errorf("seed %d, %+v: %+v", seed, flavourOf(s), v)
		}
	}
	t.Logf("%d sessions, %d lines told done, %d bytes damaged, %d checksum twins; reached %+v", *sessions, sum.told, sum.damaged, sum.twins, reached)
	if *traced == 0 && *sessions >= 2000 && !reached.everything() {
		t.Errorf("some branch was never reached: %+v", reached)
	}
}

// TestReplay plays each of some conversations twice: the same seed gives the same bytes, ends and times.
func TestReplay(t *testing.T) {
	for seed := uint64(1); seed <= 100; seed++ {
		a, b := newSession(seed, 60), newSession(seed, 60)
		a.run()
		b.run()
		if a.hash != b.hash || a.now != b.now {
			t.Fatalf("seed %d took two ways: %x at %v, %x at %v", seed, a.hash, a.now, b.hash, b.now)
		}
	}
}

func flavourOf(s *session) board {
	return board{quietRefusal: s.board.quietRefusal, twiceRefusal: s.board.twiceRefusal, terse: s.board.terse, stubborn: s.board.stubborn, numberedOK: s.board.numberedOK}
}

func (t *tally) add(o tally) {
	t.refused += o.refused
	t.resent += o.resent
	t.asked += o.asked
	t.unknown += o.unknown
	t.marked += o.marked
	t.restarted += o.restarted
	t.noisy += o.noisy
	t.bursts += o.bursts
	t.surplus += o.surplus
	t.ordered += o.ordered
	t.unchecked += o.unchecked
}

func (t tally) everything() bool {
	return t.refused > 0 && t.resent > 0 && t.asked > 0 && t.unknown > 0 && t.marked > 0 && t.noisy > 0 && t.restarted > 0 && t.bursts > 0 && t.ordered > 0
}

// TestWithoutNumbers plays conversations with a firmware that keeps no line numbers, over wires that lose an ok at
// times but damage nothing: nothing is doubled, swapped or falsely done, and what is lost is told so.
func TestWithoutNumbers(t *testing.T) {
	for seed := uint64(1); seed <= 200; seed++ {
		s := newSession(seed, 60)
		s.board.lenient = true
		s.down.rate, s.up.rate = 0, 0
		if v := s.run(); v.bad() || s.engine.tally.unchecked == 0 {
			t.Errorf("seed %d: %+v, %+v", seed, v, s.engine.tally)
		}
	}
}

// TestDoubledOK: an ok that comes twice is taken for the next line's. M400, the end of a step, is never told done
// before it is.
func TestDoubledOK(t *testing.T) {
	s := newSession(1, 60)
	s.board, s.stopAt, s.resetAt = board{}, never, never
	s.up, s.down = wireModel{rng: s.rng, twiceOK: 0.1}, wireModel{rng: s.rng}
	s.judge.rename(60, "M400")
	v := s.run()
	if s.judge.times[60] != 1 || s.judge.fate[60] != Obeyed || s.judge.earlyLast || v.doubled+v.swapped+v.skipped+v.hung > 0 {
		t.Errorf("%+v, %+v", v, s.engine.tally)
	}
	if v.falselyDone == 0 {
		t.Error("no ok was taken for another's: the test tries nothing")
	}
}
