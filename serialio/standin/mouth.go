package standin

import (
	"math/rand/v2"
	"time"
)

// mouthBytes is how much may wait for a host that does not read. Beyond it a real board stands still in the middle of
// its sentence; this one takes no further line.
const mouthBytes = 16 << 10

// mouth holds what is to be sent.
type mouth struct {
	out   []byte
	said  int    // of it
	spare []byte // the memory of what was taken last; it is good until the next take
	pause pause
}

func (m *mouth) waiting() int { return len(m.out) - m.said }

func (m *mouth) full() bool { return m.waiting() >= mouthBytes }

func (m *mouth) forget() { m.out, m.said, m.pause.until = nil, 0, 0 }

// take gives what may be sent now: all of it, or a piece.
func (m *mouth) take(now time.Duration) []byte {
	if now < m.pause.until || m.waiting() == 0 {
		return nil
	}
	end := m.said + m.pause.after(now, m.waiting())
	out := m.out[m.said:end:end]
	if m.said = end; m.waiting() == 0 {
		m.out, m.spare, m.said = m.spare[:0], m.out, 0
	}
	return out
}

// due is when a pause ends behind which something waits.
func (m *mouth) due(now time.Duration) time.Duration {
	if m.waiting() == 0 || m.pause.until <= now {
		return idle
	}
	return m.pause.until
}

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

// say sends one line. What nobody asked for is left out while the mouth is full.
func (f *Firmware) say(line string) {
	f.mouth.out = append(f.mouth.out, line...)
	f.endLine()
}

func (f *Firmware) endLine() {
	if f.profile.CRLF {
		f.mouth.out = append(f.mouth.out, '\r')
	}
	f.mouth.out = append(f.mouth.out, '\n')
}

func (f *Firmware) remark(line string) {
	if !f.mouth.full() {
		f.say(line)
	}
}
