package machine

import (
	"math"
	"math/bits"
	"time"
)

// A loose contact gives good readings between bad ones: so many bad ones of the last sixteen are acted upon as well.
const mostStrange = 4

// doubt says why a reading is not to be believed yet.
func (w *watch) doubt(asked, now time.Duration, c float64) (HeatFault, bool) {
	switch {
	case c > w.capC:
		return AboveCap, true
	case c < coldestC:
		return Implausible, true
	case w.confirmed(asked, c):
		return Jump, true
	case w.last.known && w.last.jumps(now, c):
		if w.based {
			w.odd = reading{true, asked, c}
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

// confirmed reports whether a reading goes on from one that jumped rather than from the last one believed, both carried on
// at the pace of before. Without it a step of less than 30 °C would be no jump any more two seconds later.
func (w *watch) confirmed(asked time.Duration, c float64) bool {
	return w.odd.known && math.Abs(c-w.odd.at(asked, w.paceCPerS)) < math.Abs(c-w.last.at(asked, w.paceCPerS))
}

// at is what a reading has become since, at a pace in °C/s.
func (r reading) at(asked time.Duration, paceCPerS float64) float64 {
	return r.c + paceCPerS*(asked-r.since).Seconds()
}

// counts counts a reading that was doubted, and reports whether it is to be acted upon: the second in a row is. While
// there is nothing to compare with, one damaged reading makes two jumps, which are counted apart.
func (w *watch) counts(f HeatFault) bool {
	if f == Jump && !w.based {
		w.strange, w.loose = 0, w.loose+1
		return w.loose >= 3
	}
	w.strange++
	w.lately |= 1
	return w.strange >= 2 || bits.OnesCount16(w.lately) >= mostStrange
}

// believe takes a reading over.
func (w *watch) believe(asked, now time.Duration, c float64) {
	if !w.based {
		w.based = w.last.known
		w.startAt, w.startC, w.lowestC, w.sameAt, w.overAt = now, c, c, now, now
	}
	if w.last.known && asked > w.last.since {
		w.paceCPerS = (c - w.last.c) / (asked - w.last.since).Seconds()
	}
	if c != w.last.c || !w.last.known {
		w.sameAt = now
	}
	if c < w.lowestC {
		w.lowestC, w.overAt = c, now
	}
	w.last, w.odd = reading{true, asked, c}, reading{}
}
