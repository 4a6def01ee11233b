package standin

import "time"

// mouthBytes is how much may wait for a host that does not read. Beyond it a real board stands still in the middle of
// its sentence; this one takes no further line.
const mouthBytes = 16 << 10

// mouth holds what is to be sent.
type mouth struct {
	out   []byte
	said  int    // of it
	spare []byte // the memory of what was taken last; it is good until the next take
	pause pause
	cuts  []cut
	stuff int // bytes to be made up before out goes on
}

func (m *mouth) waiting() int { return len(m.out) - m.said }

func (m *mouth) full() bool { return m.waiting() >= mouthBytes }

func (m *mouth) forget() {
	m.pause.until = 0
	*m = mouth{pause: m.pause}
}

// take gives what may be sent now: all of it, or a piece.
func (m *mouth) take(now time.Duration) []byte {
	switch {
	case now < m.pause.until:
		return nil
	case m.stuff > 0:
		return m.makeUp(now)
	case m.waiting() == 0:
		return nil
	}
	end := m.said + m.pause.after(now, m.waiting())
	if len(m.cuts) > 0 && end >= m.cuts[0].at {
		end = m.reach(now)
	}
	out := m.out[m.said:end:end]
	if m.said = end; m.waiting() == 0 {
		m.out, m.spare, m.said = m.spare[:0], m.out, 0
	}
	return out
}

// due is when a pause ends behind which something waits.
func (m *mouth) due(now time.Duration) time.Duration {
	if m.waiting() == 0 && m.stuff == 0 || m.pause.until <= now {
		return idle
	}
	return m.pause.until
}

// say sends one line. What nobody asked for is left out while the mouth is full.
func (f *Firmware) say(line string) {
	if !f.mute {
		f.mouth.out = append(f.mouth.out, line...)
		f.endLine()
	}
}

func (f *Firmware) sayText(line []byte) {
	if !f.mute {
		f.mouth.out = append(f.mouth.out, line...)
		f.endLine()
	}
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
