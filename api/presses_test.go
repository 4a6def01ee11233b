package api

import (
	"errors"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"fettle/api/guard"
)

// A crowd that presses Stop is put together: each press is followed by a stop that began after it, none waits longer
// than a turn, and the printer is told 50 times in a second at most.
func TestPressesArePutTogether(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var p presses
		var mu sync.Mutex
		var told []time.Time
		stop := func() error {
			mu.Lock()
			defer mu.Unlock()
			told = append(told, time.Now())
			return nil
		}
		began := time.Now()
		var longest atomic.Int64
		var all sync.WaitGroup
		for range 10_000 {
			all.Go(func() {
				pressed := time.Now()
				if err := p.press("p1", stop); err != nil {
					t.Error(err)
				}
				waited := time.Since(pressed)
				longest.Store(max(longest.Load(), int64(waited)))
				mu.Lock()
				defer mu.Unlock()
				if last := told[len(told)-1]; last.Before(pressed) {
					t.Errorf("a press at %s was followed by no stop", pressed.Sub(began))
				}
			})
			time.Sleep(100 * time.Microsecond)
		}
		all.Wait()
		if len(told) > 52 || len(told) < 50 || time.Duration(longest.Load()) > pressEvery {
			t.Errorf("%d stops for 10,000 presses in a second, the longest wait %s", len(told), time.Duration(longest.Load()))
		}
		time.Sleep(time.Second)
		p.mu.Lock()
		if len(p.turns) != 0 {
			t.Errorf("%d printers are remembered", len(p.turns))
		}
		p.mu.Unlock()
		if err := p.press("p2", func() error { return errors.ErrUnsupported }); !errors.Is(err, errors.ErrUnsupported) {
			t.Error(err)
		}
		time.Sleep(time.Second)
		t.Logf("10,000 presses in 1 s: %d stops, longest wait %s", len(told), time.Duration(longest.Load()))
	})
}

// A route that names no right, or one that is none, is not served.
func TestARouteWithoutARightDoesNotBoot(t *testing.T) {
	s := New(Config{})
	if err := checkRights(s.Routes()); err != nil {
		t.Error(err)
	}
	for _, right := range []guard.Right{"", "own", "Watch"} {
		if err := checkRights(append(s.Routes(), Route{Method: "GET", Path: "/v1/x", Right: right})); !errors.Is(err, ErrNoRight) {
			t.Errorf("right %q: %v", right, err)
		}
	}
}
