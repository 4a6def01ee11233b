package serialio

// maxReply is the longest line that is taken from a printer. What is longer is cut, and its rest is thrown away.
const maxReply = 512

// A splitter makes lines of the bytes that arrive, however they are split over reads.
type splitter struct {
	line []byte
	skip bool // the rest of a line that was too long
}

// split calls heard with each whole line, its line end aside. Empty lines are passed over. The line is good until heard
// returns.
func (s *splitter) split(read []byte, heard func(line []byte)) {
	for len(read) > 0 {
		end := lineEnd(read)
		s.take(read[:end], heard)
		if end == len(read) {
			return
		}
		if len(s.line) > 0 && !s.skip {
			heard(s.line)
		}
		s.reset()
		read = read[end+1:]
	}
}

// take takes a piece without a line end. A line that is too long is heard as soon as that is clear.
func (s *splitter) take(piece []byte, heard func(line []byte)) {
	if s.skip {
		return
	}
	fits := min(len(piece), maxReply-len(s.line))
	s.line = append(s.line, piece[:fits]...)
	if fits < len(piece) {
		s.skip = true
		heard(s.line)
	}
}

// lineEnd is where the first line end is, or the length where there is none.
func lineEnd(read []byte) int {
	for i, c := range read {
		if c == '\n' || c == '\r' {
			return i
		}
	}
	return len(read)
}

// reset forgets a line that has not ended.
func (s *splitter) reset() { s.line, s.skip = s.line[:0], false }
