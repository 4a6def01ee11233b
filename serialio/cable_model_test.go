package serialio

import (
	"math"
	"math/rand/v2"
	"time"
)

// wireModel carries bytes one way, at 115,200 bit/s, and damages some: a bit flipped, a byte lost, a byte doubled. What is
// written at once arrives at once, when its last byte does, or in two pieces.
type wireModel struct {
	rng     *rand.Rand
	rate    float64 // of damage, per byte
	late    Mono    // how late a piece may be, at most
	cut     bool    // pieces are cut in two at times
	byte    Mono    // how long one takes
	skip    int     // bytes until the next damage, where there is any
	flying  []piece
	first   int // of flying, that has not arrived
	damaged int
}

type piece struct {
	at    Mono
	bytes []byte
}

const (
	byteTime = 87 * time.Microsecond // 10 bits
	usbTime  = 5 * time.Microsecond  // a board that is no serial bridge
)

// newBadWire draws where the first damage is.
func newBadWire(rng *rand.Rand, rate float64, late Mono) wireModel {
	w := wireModel{rng: rng, rate: rate, late: late, cut: late > 0, byte: byteTime}
	w.draw()
	return w
}

// draw draws how many bytes go unharmed: the distance between two rare events has a geometric distribution.
func (w *wireModel) draw() {
	w.skip = math.MaxInt
	if w.rate > 0 {
		w.skip = int(math.Log(1-w.rng.Float64()) / math.Log1p(-w.rate))
	}
}

// send puts bytes on the wire. They arrive in order.
func (w *wireModel) send(now Mono, p []byte) {
	if w.cut && len(p) > 2 && w.rng.IntN(16) == 0 {
		i := 1 + w.rng.IntN(len(p)-1)
		w.put(now, p[:i])
		p = p[i:]
	}
	w.put(now, p)
}

func (w *wireModel) put(now Mono, p []byte) {
	at := now
	if w.first < len(w.flying) {
		at = max(at, w.flying[len(w.flying)-1].at)
	}
	if w.late > 0 {
		at += Mono(w.rng.Int64N(int64(w.late)))
	}
	next := w.slot()
	next.at = at + Mono(len(p))*w.byte
	next.bytes = w.harm(next.bytes[:0], p)
}

// slot is room for one more piece. Rooms are used again.
func (w *wireModel) slot() *piece {
	if w.first == len(w.flying) {
		w.first, w.flying = 0, w.flying[:0]
	}
	if len(w.flying) < cap(w.flying) {
		w.flying = w.flying[:len(w.flying)+1]
	} else {
		w.flying = append(w.flying, piece{})
	}
	return &w.flying[len(w.flying)-1]
}

// harm appends what arrives of p.
func (w *wireModel) harm(into, p []byte) []byte {
	for w.skip < len(p) {
		into = append(into, p[:w.skip]...)
		into = w.harmByte(into, p[w.skip])
		p = p[w.skip+1:]
		w.draw()
	}
	w.skip -= len(p)
	return append(into, p...)
}

func (w *wireModel) harmByte(into []byte, c byte) []byte {
	w.damaged++
	switch w.rng.IntN(4) {
	case 0:
		return into
	case 1:
		return append(into, c, c)
	}
	return append(into, c^1<<w.rng.IntN(8))
}

// due is when the next piece arrives.
func (w *wireModel) due() Mono {
	if w.first == len(w.flying) {
		return never
	}
	return w.flying[w.first].at
}

// arrived takes the next piece that has arrived by now; nil if none has. It is good until the next send.
func (w *wireModel) arrived(now Mono) []byte {
	if w.due() > now {
		return nil
	}
	w.first++
	return w.flying[w.first-1].bytes
}

// clear is the cable pulled: nothing on it arrives.
func (w *wireModel) clear() { w.first = len(w.flying) }
