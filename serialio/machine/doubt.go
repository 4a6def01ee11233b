package machine

import (
	"math"
	"time"
)

// doubt says why a reading is not to be believed yet.
func (w *watch) doubt(asked, now time.Duration, c float64) (HeatFault, bool) {
	switch {
	case c > w.capC:
		return AboveCap, true
	case c < coldestC:
		return Implausible, true
	case w.last.known && w.last.jumps(now, c):
		if w.based {
			return Jump, true
		}
		agrees := w.before.known && !w.before.jumps(now, c)
		w.before, w.last = w.last, reading{true, asked, c} // any of those before may be the wrong one
		return Jump, !agrees
	}
	return "", false
}

// A reading is what the nozzle read.
type reading struct {
	known bool
	since time.Duration // when it was asked for: an answer may be long under way on a bad cable
	c     float64
}

// jumps reports whether no nozzle gets from the reading to c by now.
func (r reading) jumps(now time.Duration, c float64) bool {
	return math.Abs(c-r.c) >= jumpCPerS*max(1, (now-r.since).Seconds())
}

// counts counts a reading that was doubted, and reports whether it is to be acted upon: the second in a row is. While
// there is nothing to compare with, one damaged reading makes two jumps, which are counted apart.
func (w *watch) counts(f HeatFault) bool {
	if f == Jump && !w.based {
		w.strange, w.loose = 0, w.loose+1
		return w.loose >= 3
	}
	w.strange++
	return w.strange >= 2
}

// believe takes a reading over.
func (w *watch) believe(asked, now time.Duration, c float64) {
	if !w.based {
		w.based = w.last.known
		w.startAt, w.startC, w.lowestC, w.sameAt, w.overAt = now, c, c, now, now
	}
	if c != w.last.c || !w.last.known {
		w.sameAt = now
	}
	if c < w.lowestC {
		w.lowestC, w.overAt = c, now
	}
	w.last = reading{true, asked, c}
}
