package serialio

import (
	"testing"
	"time"
)

// TestRestartWhileHeldAndStopped: a board that restarts while it is told to cool down, on a line that was held before, is
// greeted like any other.
func TestRestartWhileHeldAndStopped(t *testing.T) {
	s := newPlain(1, plainBoard(1), plans()[0])
	s.begin()
	s.work(func() bool { return s.judge.Times(10) > 0 })
	s.engine.now, s.engine.out = s.now, nil
	s.engine.hold("made up")
	s.step(Event{Kind: Stop})
	s.far.reset(s.now)
	if !s.until(2*time.Minute, func() bool { return s.is(Listening) }) {
		t.Errorf("it is %+v, and waits for nothing", *s.engine.Status())
	}
}
