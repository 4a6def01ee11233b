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
	for _, c := range read {
		switch {
		case c == '\n' || c == '\r':
			if len(s.line) > 0 && !s.skip {
				heard(s.line)
			}
			s.reset()
		case s.skip:
		case len(s.line) == maxReply:
			s.skip = true
			heard(s.line)
		default:
			s.line = append(s.line, c)
		}
	}
}

// reset forgets a line that has not ended.
func (s *splitter) reset() { s.line, s.skip = s.line[:0], false }
