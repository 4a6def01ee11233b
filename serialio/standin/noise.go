package standin

import (
	"math"
	"math/rand/v2"
	"sync/atomic"
)

// Wire is what a cable does to bytes on their way: it returns those that arrive. It may change p.
type Wire func(p []byte) []byte

// Noise is a Noisy cable whose damage nobody counts.
func Noise(seed uint64, rate float64) Wire { return NewNoisy(seed, rate).Wire }

// Noisy is a bad cable, one way of it: at every byte, with the chance rate each, one bit flips, the byte is lost, it
// comes twice, or a random one comes before it. The same seed and the same bytes give the same damage, however they are
// cut. Wire is for one goroutine, Damage for any.
type Noisy struct {
	rng    *rand.Rand
	decay  float64 // of the chance that nothing has happened, per byte; 0: nothing ever does
	ahead  int64   // good bytes until the next damage
	counts [harms]atomic.Int64
}

// What can happen at a byte.
const (
	flip = iota
	lose
	double
	insert
	harms
)

// Damage is what has happened on a wire, in bytes.
type Damage struct{ Flipped, Lost, Doubled, Inserted int64 }

// Bytes are all of it.
func (d Damage) Bytes() int64 { return d.Flipped + d.Lost + d.Doubled + d.Inserted }

// NewNoisy makes one. A rate of 1/4 or more damages every byte, one of 0 or less none.
func NewNoisy(seed uint64, rate float64) *Noisy {
	n := &Noisy{rng: rand.New(rand.NewPCG(seed, 0xbadcab1e)), decay: -math.Log1p(-min(max(harms*rate, 0), 1))}
	n.ahead = n.gap()
	return n
}

// gap draws how many bytes stay good before the next damage. It is geometric: what is left, rounded down, of a wait with
// the exponential law.
func (n *Noisy) gap() int64 {
	const never = 1 << 62
	if n.decay == 0 {
		return never
	}
	return int64(min(n.rng.ExpFloat64()/n.decay, never))
}

// Wire carries bytes. Good ones are not copied.
func (n *Noisy) Wire(p []byte) []byte {
	if n.ahead >= int64(len(p)) {
		n.ahead -= int64(len(p))
		return p
	}
	out := make([]byte, 0, len(p)+8)
	for n.ahead < int64(len(p)) {
		out = n.harm(append(out, p[:n.ahead]...), p[n.ahead])
		p = p[n.ahead+1:]
		n.ahead = n.gap()
	}
	n.ahead -= int64(len(p))
	return append(out, p...)
}

// harm does one damage at the byte c.
func (n *Noisy) harm(out []byte, c byte) []byte {
	what := n.rng.IntN(harms)
	n.counts[what].Add(1)
	switch what {
	case flip:
		return append(out, c^1<<n.rng.IntN(8))
	case lose:
		return out
	case double:
		return append(out, c, c)
	}
	return append(out, byte(n.rng.IntN(256)), c)
}

// Damage is what has been done so far.
func (n *Noisy) Damage() Damage {
	return Damage{n.counts[flip].Load(), n.counts[lose].Load(), n.counts[double].Load(), n.counts[insert].Load()}
}
