package machine

import (
	"math"
	"math/bits"
	"time"
)

const (
	sureAfter   = 3 // readings that agree, before there is something to compare with
	mostStrange = 4 // of the last sixteen: a loose contact gives good readings between bad ones
)

// A reading is what the nozzle read, and at which pace it then changed.
type reading struct {
	known     bool
	since     time.Duration // when it was asked for: an answer may be long under way on a bad cable
	c         float64
	paceCPerS float64
}

// jumps reports whether no nozzle gets from the reading to c by now.
func (r reading) jumps(now time.Duration, c float64) bool {
	return math.Abs(c-r.c) >= jumpCPerS*max(1, (now-r.since).Seconds())
}

// doubt says why a reading is not to be believed yet.
func (w *watch) doubt(asked, now time.Duration, c float64) (HeatFault, bool) {
	switch {
	case c > w.capC:
		return AboveCap, true
	case c < coldestC:
		return Implausible, true
	case w.alike < sureAfter:
		return Jump, w.last.known && w.last.jumps(now, c) && !w.agrees(asked, now, c)
	case w.odd.known && w.off(w.odd, asked, c) < w.off(w.last, asked, c): // without it a step of 20 °C would be none 2 s later
		return Jump, true
	case !w.last.jumps(now, c):
		return "", false
	case w.off(w.before, asked, c) < jumpCPerS/2: // it goes on from the one before the last, so the last was damaged
		w.last = w.before
		return "", false
	}
	w.odd = reading{true, asked, c, w.last.paceCPerS}
	return Jump, true
}

// agrees compares a reading that jumps, while there is nothing to compare with, with the one before the last: any of the
// three may be the wrong one.
func (w *watch) agrees(asked, now time.Duration, c float64) bool {
	agrees := w.before.known && !w.before.jumps(now, c)
	w.before, w.last, w.alike = w.last, reading{true, asked, c, 0}, 1
	return agrees
}

// off is how far c is from what a reading has become since, if it went on at its pace. A nozzle that is led to a target
// does not go past it.
func (w *watch) off(r reading, asked time.Duration, c float64) float64 {
	now := r.c + r.paceCPerS*(asked-r.since).Seconds()
	if w.aimed && r.paceCPerS > 0 {
		now = min(now, max(r.c, w.targetC+settledC))
	}
	return math.Abs(c - now)
}

// counts counts a reading that was doubted, and reports whether it is to be acted upon: the second in a row is. While
// there is nothing to compare with, one damaged reading makes two jumps, which are counted apart.
func (w *watch) counts(f HeatFault) bool {
	if f == Jump && w.alike < sureAfter {
		w.strange, w.loose = 0, w.loose+1
		return w.loose >= 3
	}
	w.strange++
	w.lately |= 1
	return w.strange >= 2 || bits.OnesCount16(w.lately) >= mostStrange
}

// believe takes a reading over.
func (w *watch) believe(asked, now time.Duration, c float64) {
	if w.alike++; w.alike <= 2 { // the first may be damaged
		w.startAt, w.startC, w.lowestC, w.sameAt, w.overAt = now, c, c, now, now
	}
	if c != w.last.c {
		w.sameAt = now
	}
	if c < w.lowestC {
		w.lowestC, w.overAt = c, now
	}
	next := reading{true, asked, c, w.last.paceCPerS}
	if w.last.known && asked > w.last.since {
		next.paceCPerS = (c - w.last.c) / (asked - w.last.since).Seconds()
	}
	w.before, w.last, w.odd = w.last, next, reading{}
}
