package serialio

import (
	"context"
	"errors"
	"io"
	"testing"
	"time"
)

// sleeping is a loop without a port, which no goroutine runs.
func sleeping(t *testing.T) *loop {
	l := New(Config{Open: func(context.Context) (io.ReadWriteCloser, error) { return nil, errors.New("no such device") }})
	p := &loop{line: l, engine: NewEngine(0, 0), timer: time.NewTimer(time.Hour), opener: newOpener(l.cfg.Open)}
	t.Cleanup(p.opener.end)
	return p
}

func TestATimerThatFiresLateIsWaitedForOnceMore(t *testing.T) {
	bubble(t, func(t *testing.T) {
		p := sleeping(t)
		time.Sleep(time.Second)
		p.armed = p.now() - 200*time.Millisecond // the computer was elsewhere
		p.tick(t.Context())
		p.arm() // as after each line that is heard meanwhile
		if p.engine.phase != asleep || p.armed != p.now()+400*time.Millisecond {
			t.Errorf("phase %v, looks again in %v", p.engine.phase, p.armed-p.now())
		}
		<-p.timer.C
		if p.tick(t.Context()); p.engine.phase != opening {
			t.Errorf("phase %v after the second time", p.engine.phase)
		}
	})
}

func TestGraceIsForTheLateAndEnds(t *testing.T) {
	for late, want := range map[Mono]Mono{
		-time.Hour: 0, 0: 0, 49 * time.Millisecond: 0, 50 * time.Millisecond: 100 * time.Millisecond,
		300 * time.Millisecond: 600 * time.Millisecond, time.Hour: time.Second,
	} {
		if got := graceFor(late); got != want {
			t.Errorf("%v late: %v, want %v", late, got, want)
		}
	}
	bubble(t, func(t *testing.T) { // late each time, it is acted upon all the same
		p := sleeping(t)
		for range 2 {
			time.Sleep(time.Second)
			p.armed = p.now() - time.Second
			p.tick(t.Context())
		}
		if p.engine.phase != opening {
			t.Errorf("phase %v", p.engine.phase)
		}
	})
}
