package standin

import (
	"math/rand/v2"
	"time"
)

// pause cuts what is said into pieces.
type pause struct {
	rng     *rand.Rand
	longest time.Duration // 0: nothing is cut
	until   time.Duration
}

// mostPiece is the longest piece; a line has up to about 80 bytes.
const mostPiece = 40

func newPause(seed uint64, longest time.Duration) pause {
	return pause{rng: rand.New(rand.NewPCG(seed, 0x9a05e)), longest: longest}
}

// after tells how many of the bytes come now, and begins the pause behind them.
func (p *pause) after(now time.Duration, bytes int) int {
	if p.longest == 0 {
		return bytes
	}
	p.until = now + 1 + time.Duration(p.rng.Int64N(int64(p.longest)))
	return 1 + p.rng.IntN(min(bytes, mostPiece))
}

// cut is a place in what is to be sent at which something comes between.
type cut struct {
	at       int // bytes of out that come before
	pause    time.Duration
	stuffing int // bytes that are made up
}

func (m *mouth) cut(c cut) { m.cuts = append(m.cuts, c) }

// reach goes up to the first cut, and into it.
func (m *mouth) reach(now time.Duration) int {
	c := m.cuts[0]
	m.cuts = m.cuts[1:]
	m.pause.until = max(m.pause.until, now+c.pause)
	m.stuff = c.stuffing
	return c.at
}

// stuffing is what made-up bytes are made of.
const stuffing = 'x'

// makeUp gives some made-up bytes, at a speed that a line could have.
func (m *mouth) makeUp(now time.Duration) []byte {
	const piece, every = 1 << 10, 10 * time.Millisecond
	n := min(m.stuff, piece)
	m.stuff -= n
	m.pause.until = now + every
	m.spare = m.spare[:0]
	for range n {
		m.spare = append(m.spare, stuffing)
	}
	return m.spare
}
