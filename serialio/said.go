package serialio

// maxSaid bounds what is kept of one answer. The longest that is asked for, a settings report, has about 5 kB.
const maxSaid = 32 << 10

// said is what the printer said since the line in flight was sent, a line feed behind each line.
type said struct {
	text     []byte
	doubtful bool
}

func (s *said) reset() { s.text, s.doubtful = s.text[:0], false }

// add keeps a line. What does not fit is left out, and that is said.
func (s *said) add(line []byte, doubtful bool) {
	s.doubtful = s.doubtful || doubtful
	if len(line) == 0 {
		return
	}
	if len(s.text)+len(line) >= maxSaid {
		s.doubtful = true
		return
	}
	s.text = append(append(s.text, line...), '\n')
}
