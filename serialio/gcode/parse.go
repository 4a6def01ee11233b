package gcode

import (
	"fmt"
	"strconv"
)

// maxText is the longest text that Parse looks at. A line that a firmware must take is 96 bytes; the rest is comment.
const maxText = 256

// A SyntaxError says where a text leaves the grammar of a block, in bytes from its beginning.
type SyntaxError struct {
	At     int
	Found  string // "'*'"
	Accept string // "a letter A to Z other than N"
}

func (e *SyntaxError) Error() string {
	return fmt.Sprintf("byte %d: found %s; accepted: %s", e.At, e.Found, e.Accept)
}

// Parse reads one block: a command word G, M or T first, then parameters, each letter once. Comments are dropped,
// letters stand in either case, spaces and tabs anywhere outside comments, as in RS274/NGC (NIST IR 6556, 3.3). A
// number has no exponent. Line numbers and checksums are the line's own business and are refused. It returns a
// *SyntaxError for everything else.
func Parse(line string) (Block, error) {
	s := scanner{text: line}
	if len(line) > maxText {
		return Block{}, &SyntaxError{At: maxText, Found: "more text", Accept: fmt.Sprintf("at most %d bytes", maxText)}
	}
	var b Block
	var seen letters
	for s.skip(); s.err == nil && s.at < len(s.text); s.skip() {
		at := s.at
		w := s.word(len(b.Words) == 0)
		if s.err == nil {
			s.err = seen.take(w.Letter, at)
		}
		b.Words = append(b.Words, w)
	}
	if s.err == nil && len(b.Words) == 0 {
		s.err = s.found("a command word such as G1, M105 or T0")
	}
	if s.err != nil {
		return Block{}, s.err
	}
	return b, nil
}

// letters is the set of letters a block has used, and whether a command is among them.
type letters uint32

// take marks a letter as used. A letter twice is an error, and so are two commands in one block: RS274/NGC lets some
// stand together, but printers obey only one.
func (l *letters) take(letter byte, at int) error {
	bit := letters(1) << (letter & 0x1f)
	const commands = letters(1)<<('G'&0x1f) | letters(1)<<('M'&0x1f)
	if *l&bit != 0 || (bit&commands != 0 && *l != 0) {
		return &SyntaxError{At: at, Found: fmt.Sprintf("%c once more", letter&^0x20), Accept: "one command in a block, and each other letter once"}
	}
	*l |= bit
	return nil
}

// scanner walks over the text of one block.
type scanner struct {
	text string
	at   int
	err  error
}

// skip passes over blanks and comments.
func (s *scanner) skip() {
	for s.at < len(s.text) {
		switch s.text[s.at] {
		case ' ', '\t', '\r', '\n':
			if s.text[s.at] == '\n' && s.at != len(s.text)-1 {
				s.err = s.found("the end of the line: one block at a time")
				return
			}
			s.at++
		case ';':
			s.comment(len(s.text))
		case '(':
			s.parenthesis()
		default:
			return
		}
		if s.err != nil {
			return
		}
	}
}

// comment passes over the text up to end, which may not hide a second line.
func (s *scanner) comment(end int) {
	for s.at < end {
		if c := s.text[s.at]; c == '\n' && s.at != len(s.text)-1 {
			s.err = s.found("the end of the line: one block at a time")
			return
		}
		s.at++
	}
}

// parenthesis passes over "(...)": closed on the same line and not nested (NIST IR 6556, 3.3.3).
func (s *scanner) parenthesis() {
	for i := s.at + 1; i < len(s.text) && s.text[i] != '('; i++ {
		if s.text[i] == ')' {
			s.comment(i + 1)
			return
		}
	}
	s.err = s.found("a comment that is closed and holds no other")
}

// word reads a letter and its number.
func (s *scanner) word(first bool) Word {
	letter := s.text[s.at] &^ 0x20
	switch {
	case first && letter != 'G' && letter != 'M' && letter != 'T':
		s.err = s.found("a command word such as G1, M105 or T0")
	case letter < 'A' || letter > 'Z' || letter == 'N' || s.text[s.at] < 'A':
		s.err = s.found("a letter A to Z other than N")
	default:
		s.at++
		return s.number(letter, first)
	}
	return Word{}
}

// maxDigits is how many digits a number may have on either side of its point. They are counted by side because a
// number is printed with a digit before its point, whether it was read with one or not.
const maxDigits = 24

// number reads the digits behind a letter. Blanks may stand between them.
func (s *scanner) number(letter byte, first bool) Word {
	var digits [2*maxDigits + 2]byte
	text := digits[:0]
	begin, points, count, side := s.at, 0, 0, 0
	for s.skip(); s.err == nil && s.at < len(s.text); s.skip() {
		c := s.text[s.at]
		switch {
		case c >= '0' && c <= '9':
			count++
			side++
		case c == '.' && points == 0:
			points++
			side = 0
		case (c == '+' || c == '-') && len(text) == 0:
		default:
			return s.value(letter, text, begin, count, first)
		}
		if side > maxDigits {
			s.err = s.found(fmt.Sprintf("at most %d digits on either side of the point", maxDigits))
			return Word{}
		}
		text = append(text, c)
		s.at++
	}
	if s.err != nil {
		return Word{}
	}
	return s.value(letter, text, begin, count, first)
}

// value turns what number collected into a word.
func (s *scanner) value(letter byte, text []byte, begin, digits int, first bool) Word {
	if len(text) == 0 && !first {
		return Word{Letter: letter, Bare: true}
	}
	if digits == 0 {
		s.at = begin
		s.err = s.found("a number")
		return Word{}
	}
	v, err := strconv.ParseFloat(string(text), 64)
	if err != nil || v <= -MaxValue || v >= MaxValue || (first && (v < 0 || v > 9999)) {
		s.err = &SyntaxError{At: begin, Found: string(text), Accept: "a number below 1e9 in size, 0 to 9999 for a command"}
		return Word{}
	}
	return Word{Letter: letter, Value: v + 0}
}

// found is the error at the scanner's place.
func (s *scanner) found(accept string) error {
	found := "the end"
	if s.at < len(s.text) {
		found = fmt.Sprintf("%q", s.text[s.at])
	}
	return &SyntaxError{At: s.at, Found: found, Accept: accept}
}
