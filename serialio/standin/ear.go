package standin

import "strings"

// lineBytes is the longest line that is kept; the rest of a longer one is dropped, and its checksum fails.
const lineBytes = 96

// ear is the receive buffer: whole lines that wait for their turn, taken apart as they ended, and the one that is
// arriving.
type ear struct {
	room  int // bytes
	used  int // of them
	lines []heard
	taken int    // of lines, from the front
	open  []byte // the line that is arriving
	page  page
	lost  int
}

// hear takes bytes up to the end of a line, and returns how many. whole tells that a line has ended.
func (e *ear) hear(p []byte) (n int, whole bool) {
	for i, c := range p {
		switch {
		case e.used >= e.room:
			e.lost++
		case c == '\n' || c == '\r':
			if len(e.open) > 0 {
				e.end()
				return i + 1, true
			}
		case len(e.open) >= lineBytes:
			e.lost++
		default:
			e.open = append(e.open, c)
			e.used++
		}
	}
	return len(p), false
}

// end keeps the line that has arrived. Its end takes a byte as well.
func (e *ear) end() {
	if e.taken == len(e.lines) {
		e.lines, e.taken = e.lines[:0], 0
	}
	e.used++
	e.lines = append(e.lines, takeApart(e.page.keep(e.open)))
	e.open = e.open[:0]
}

// newest is the whole line that ended last.
func (e *ear) newest() *heard { return &e.lines[len(e.lines)-1] }

// next takes the oldest whole line out of the buffer.
func (e *ear) next() (heard, bool) {
	if e.taken == len(e.lines) {
		return heard{}, false
	}
	h := e.lines[e.taken]
	e.taken++
	e.used -= len(h.line) + 1
	return h, true
}

func (e *ear) takeLost() int {
	lost := e.lost
	e.lost = 0
	return lost
}

// page makes strings of lines, many of them from one piece of memory.
type page struct{ text strings.Builder }

func (p *page) keep(line []byte) string {
	const bytes = 1 << 10
	if p.text.Cap()-p.text.Len() < len(line) {
		p.text = strings.Builder{} // the lines of the full one keep it
		p.text.Grow(bytes)
	}
	begin := p.text.Len()
	p.text.Write(line)
	return p.text.String()[begin:]
}
