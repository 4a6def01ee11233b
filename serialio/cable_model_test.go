package serialio

import (
	"math/rand/v2"
	"time"
)

// wireModel carries bytes one way, at 115,200 bit/s, and damages some: a bit flipped, a byte lost, a byte doubled.
type wireModel struct {
	rng     *rand.Rand
	rate    float64 // of damage, per byte
	dropOK  float64 // of an ok that never arrives
	twiceOK float64 // of an ok that arrives twice
	late    Mono    // how late a byte may be, at most
	flying  []flyingByte
	damaged int
}

type flyingByte struct {
	at Mono
	c  byte
}

const byteTime = 87 * time.Microsecond // 10 bits

// send puts bytes on the wire. They arrive in order.
func (w *wireModel) send(now Mono, p []byte) {
	at := now
	if n := len(w.flying); n > 0 && w.flying[n-1].at > at {
		at = w.flying[n-1].at
	}
	if w.late > 0 {
		at += time.Duration(w.rng.Int64N(int64(w.late)))
	}
	for _, c := range p {
		at += byteTime
		if w.rate > 0 && w.rng.Float64() < w.rate {
			w.damaged++
			switch w.rng.IntN(4) {
			case 0:
				continue
			case 1:
				w.flying = append(w.flying, flyingByte{at, c})
			default:
				c ^= 1 << w.rng.IntN(8)
			}
		}
		w.flying = append(w.flying, flyingByte{at, c})
	}
}

// say sends a line of the board's.
func (w *wireModel) say(now Mono, line string) {
	if w.dropOK > 0 && line == "ok" && w.rng.Float64() < w.dropOK {
		w.damaged++
		return
	}
	w.send(now, []byte(line+"\n"))
	if w.twiceOK > 0 && line == "ok" && w.rng.Float64() < w.twiceOK {
		w.send(now, []byte("ok\n"))
	}
}

// due is when the next byte arrives.
func (w *wireModel) due() Mono {
	if len(w.flying) == 0 {
		return never
	}
	return w.flying[0].at
}

// arrived takes what has arrived by now.
func (w *wireModel) arrived(now Mono, into []byte) []byte {
	n := 0
	for n < len(w.flying) && w.flying[n].at <= now {
		into = append(into, w.flying[n].c)
		n++
	}
	w.flying = append(w.flying[:0], w.flying[n:]...)
	return into
}
