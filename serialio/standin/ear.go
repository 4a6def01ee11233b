package standin

// lineBytes is the longest line that is kept; the rest of a longer one is dropped, and its checksum fails.
const lineBytes = 96

// ear is the receive buffer: whole lines that wait for their turn, and the one that is arriving.
type ear struct {
	room  int // bytes
	used  int // of them
	lines [][]byte
	open  []byte // the line that is arriving
	lost  int
}

// hear takes one byte. It returns the line that this byte ended, if any.
func (e *ear) hear(c byte) ([]byte, bool) {
	if e.used >= e.room {
		e.lost++
		return nil, false
	}
	if c == '\n' || c == '\r' {
		return e.end()
	}
	if len(e.open) >= lineBytes {
		e.lost++
		return nil, false
	}
	e.open = append(e.open, c)
	e.used++
	return nil, false
}

func (e *ear) end() ([]byte, bool) {
	line := e.open
	if len(line) == 0 {
		return nil, false
	}
	e.open = nil
	e.used++ // its end takes a byte as well
	e.lines = append(e.lines, line)
	return line, true
}

// next takes the oldest whole line out of the buffer.
func (e *ear) next() ([]byte, bool) {
	if len(e.lines) == 0 {
		return nil, false
	}
	line := e.lines[0]
	e.lines = e.lines[1:]
	e.used -= len(line) + 1
	return line, true
}

func (e *ear) takeLost() int {
	lost := e.lost
	e.lost = 0
	return lost
}
