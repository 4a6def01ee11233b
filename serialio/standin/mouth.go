package standin

// mouthBytes is how much may wait for a host that does not read. Beyond it a real board stands still in the middle of
// its sentence; this one takes no further line.
const mouthBytes = 16 << 10

// mouth holds what is to be sent.
type mouth struct{ out []byte }

func (m *mouth) full() bool { return len(m.out) >= mouthBytes }

func (m *mouth) forget() { m.out = nil }

func (m *mouth) take() []byte {
	out := m.out
	m.out = nil
	return out
}

// say sends one line. What nobody asked for is left out while the mouth is full.
func (f *Firmware) say(line string) {
	f.mouth.out = append(append(f.mouth.out, line...), '\n')
}

func (f *Firmware) remark(line string) {
	if !f.mouth.full() {
		f.say(line)
	}
}
