package serialio

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"
	"time"
)

// bubble runs a test on false time.
func bubble(t *testing.T, f func(t *testing.T)) {
	t.Helper()
	synctest.Test(t, f)
}

// onLine runs a test on false time, with a printer and a line that listens to it.
func onLine(t *testing.T, f func(t *testing.T, p *printer, l *Line)) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		p := &printer{}
		l := startLine(t, p)
		until(t, l, Listening)
		f(t, p, l)
	})
}

// startLine runs a line on a printer in the bubble of the test, and ends it with the test.
func startLine(t *testing.T, p *printer) *Line {
	t.Helper()
	l := New(Config{Open: p.open, Boot: "b1"})
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- l.Run(ctx) }()
	t.Cleanup(func() {
		cancel()
		if err := <-ended; err != nil {
			t.Errorf("Run ended with %v", err)
		}
		p.set(func(p *printer) { p.deaf = false })
		if p.conn != nil {
			p.conn.Close()
		}
	})
	return l
}

// until waits for a state, in the bubble's time.
func until(t *testing.T, l *Line, s State) time.Duration {
	t.Helper()
	return untilIt(t, l, s.String(), func(v Snapshot) bool { return v.State == s })
}

func untilIt(t *testing.T, l *Line, what string, holds func(Snapshot) bool) time.Duration {
	t.Helper()
	begun := time.Now()
	for {
		changed := l.Changed()
		if holds(l.Snapshot()) {
			return time.Since(begun)
		}
		select {
		case <-changed:
		case <-time.After(10 * time.Minute):
			t.Fatalf("never %s; it is %+v", what, l.Snapshot())
		}
	}
}

// obeys sends a block that must be obeyed.
func obeys(t *testing.T, l *Line, block string) Reply {
	t.Helper()
	r, err := l.Send(t.Context(), block)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// fallsSilent leaves the line out of step with a printer that hears and says nothing. It returns how long that took to
// be noticed.
func fallsSilent(t *testing.T, p *printer, l *Line) time.Duration {
	t.Helper()
	p.set(func(p *printer) { p.mute, p.heard = true, nil })
	begun := time.Now()
	if _, err := l.Send(t.Context(), "M105"); !errors.Is(err, ErrOutOfStep) {
		t.Fatalf("a silent printer was answered for with %v", err)
	}
	return time.Since(begun)
}

// calls are callers that wait for the same block.
type calls chan error

// sendAway sends a block from so many callers. It returns when all of them wait.
func sendAway(t *testing.T, l *Line, block string, callers int) calls {
	ends := make(calls, callers)
	for range callers {
		go func() { // ends with its answer
			_, err := l.Send(t.Context(), block)
			ends <- err
		}()
	}
	synctest.Wait()
	return ends
}

// end waits until all have been answered; a nil want is a yes. It returns how long that took.
func (c calls) end(t *testing.T, want error) time.Duration {
	t.Helper()
	begun := time.Now()
	for range cap(c) {
		if err := <-c; !errors.Is(err, want) {
			t.Errorf("ended with %v, want %v", err, want)
		}
	}
	return time.Since(begun)
}
