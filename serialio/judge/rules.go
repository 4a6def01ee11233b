package judge

import (
	"bytes"
	"strconv"
)

// Rules is what boards differ in.
type Rules struct {
	Ordered bool // M110 is taken only under the number that is due
	InTurn  bool // M112 waits for its turn
	// Numberless: it keeps no line numbers and looks at no sum.
	Numberless bool
	// Told: this board does not keep to the rules, and what it took is told by Took. What reached it is not weighed.
	Told bool
}

// lineBytes is the longest line that a board takes; what is beyond is dropped.
const lineBytes = 96

// Accepted is a line that a board took.
type Accepted struct {
	Number   int64
	Numbered bool
	Text     string // comments and outer blanks aside
}

// board is what a board knows, by the rules of the dialect.
type board struct {
	rules       Rules
	line        []byte // what has come of a line
	last        int64
	halted      bool
	nozzle, bed float64
}

func (b *board) restart() { *b = board{rules: b.rules, line: b.line[:0]} }

// hear takes one byte and returns a line that it ended, which is good until the next call.
func (b *board) hear(c byte) ([]byte, bool) {
	if c != '\n' && c != '\r' {
		if len(b.line) < lineBytes {
			b.line = append(b.line, c)
		}
		return nil, false
	}
	line := b.line
	b.line = b.line[:0]
	return line, len(line) > 0
}

// reading is a line as it is written.
type reading struct {
	number   int64
	numbered bool
	summed   bool
	sumRight bool
	text     []byte
}

// read takes a line apart. A star that comes twice ends the line at its second.
func read(line []byte) reading {
	line = bytes.TrimLeft(line, " \t")
	var r reading
	body := line
	if star := bytes.LastIndexByte(line, '*'); star >= 0 {
		body, r.summed = line[:star], true
		var sum byte
		for _, c := range body {
			sum ^= c
		}
		claimed, plain := small(bytes.TrimSpace(line[star+1:]))
		r.sumRight = plain && claimed == int(sum)
	}
	if len(body) > 0 && (body[0] == 'N' || body[0] == 'n') {
		r.number, r.numbered, body = numbered(body)
	}
	r.text = bytes.TrimSpace(plain(body))
	return r
}

// small reads digits of at most 255.
func small(digits []byte) (n int, ok bool) {
	for _, c := range digits {
		if c < '0' || c > '9' || n > 255 {
			return 0, false
		}
		n = n*10 + int(c-'0')
	}
	return n, len(digits) > 0 && n <= 255
}

func numbered(body []byte) (int64, bool, []byte) {
	end := 1
	for end < len(body) && (body[end] == '-' || body[end] >= '0' && body[end] <= '9') {
		end++
	}
	n, err := strconv.ParseInt(string(body[1:end]), 10, 32)
	if err != nil {
		return 0, false, body
	}
	return n, true, body[end:]
}

// plain leaves comments out (RS274/NGC, NIST IR 6556, 3.3.4, and the dialect's semicolon).
func plain(text []byte) []byte {
	if bytes.IndexByte(text, ';') < 0 && bytes.IndexByte(text, '(') < 0 {
		return text
	}
	text, _, _ = bytes.Cut(text, []byte(";"))
	for {
		before, rest, found := bytes.Cut(text, []byte("("))
		if !found {
			return text
		}
		_, after, _ := bytes.Cut(rest, []byte(")"))
		text = append(append([]byte(nil), before...), after...)
	}
}

// accepts reports whether the frame of a line is right, and it is its turn.
func (b *board) accepts(r reading, word string) bool {
	switch {
	case b.rules.Numberless:
		return true
	case r.numbered != r.summed, r.summed && !r.sumRight:
		return false
	case !r.numbered || r.number == b.last+1:
		return true
	}
	return word == "M110" && !b.rules.Ordered
}

// obey does the few words that matter here.
func (b *board) obey(r reading, word string, rest []byte) {
	if r.numbered {
		b.last = r.number
	}
	switch word {
	case "M110":
		if n, ok := value(rest, 'N'); ok {
			b.last = int64(n)
		}
	case "M104", "M109":
		b.nozzle = target(rest, b.nozzle)
	case "M140", "M190":
		b.bed = target(rest, b.bed)
	case "M112":
		b.halted, b.nozzle, b.bed, b.line = true, 0, 0, b.line[:0]
	}
}

func target(rest []byte, otherwise float64) float64 {
	for _, letter := range []byte("SR") {
		if v, ok := value(rest, letter); ok {
			return max(v, 0)
		}
	}
	return otherwise
}
