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
	pause pause
}

func (m *mouth) full() bool { return len(m.out) >= mouthBytes }

func (m *mouth) forget() { m.out, m.pause.until = nil, 0 }

// take gives what may be sent now: all of it, or a piece.
func (m *mouth) take(now time.Duration) []byte {
	if now < m.pause.until || len(m.out) == 0 {
		return nil
	}
	n := m.pause.after(now, len(m.out))
	out := m.out[:n:n]
	if m.out = m.out[n:]; len(m.out) == 0 {
		m.out = nil
	}
	return out
}

// due is when a pause ends behind which something waits.
func (m *mouth) due(now time.Duration) time.Duration {
	if len(m.out) == 0 || m.pause.until <= now {
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
	return pause{rng: rand.New(rand.NewPCG(seed, 0x9a05e)), longest: max(longest, 0)}
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
	end := "\n"
	if f.profile.CRLF {
		end = "\r\n"
	}
	f.mouth.out = append(append(f.mouth.out, line...), end...)
}

func (f *Firmware) remark(line string) {
	if !f.mouth.full() {
		f.say(line)
	}
}
