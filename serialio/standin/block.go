package standin

import (
	"strconv"
	"strings"
)

// block is one command: its word ("M92"), its letters with their values, and the text as it was written.
type block struct {
	word   string
	args   string // what stands behind the word, as written
	text   string
	letter []param
}

type param struct {
	letter byte
	value  float64
	bare   bool // a letter without a number
}

// parseBlock reads as firmware does: leniently. Letters may be of any case, blanks are optional, and what is no
// letter with a number is passed over.
func parseBlock(s string) block {
	s = strings.TrimSpace(withoutComments(s))
	word, rest, ok := cutParam(s)
	b := block{text: s}
	if !ok || word.bare {
		return b
	}
	b.word = string(word.letter) + strconv.FormatFloat(word.value, 'f', -1, 64)
	b.args = strings.TrimSpace(rest)
	for rest != "" {
		var p param
		if p, rest, ok = cutParam(rest); ok {
			b.letter = append(b.letter, p)
		}
	}
	return b
}

// cutParam takes the first letter with its number off s. Without a letter in front it takes one byte off.
func cutParam(s string) (param, string, bool) {
	s = strings.TrimLeft(s, " \t")
	if s == "" {
		return param{}, "", false
	}
	c := s[0] &^ 0x20
	if c < 'A' || c > 'Z' {
		return param{}, s[1:], false
	}
	rest := s[1:]
	n := numberLength(rest)
	v, err := strconv.ParseFloat(rest[:n], 64)
	if err != nil {
		return param{letter: c, bare: true}, rest, true
	}
	const most = 1e6 // larger numbers mean nothing to a printer
	return param{letter: c, value: min(max(v, -most), most)}, rest[n:], true
}

// numberLength counts the bytes of a plain decimal number; there are no exponents here, E is an axis.
func numberLength(s string) int {
	n := 0
	for n < len(s) && (s[n] == '.' || '0' <= s[n] && s[n] <= '9' || n == 0 && (s[n] == '-' || s[n] == '+')) {
		n++
	}
	return n
}

func withoutComments(s string) string {
	s, _, _ = strings.Cut(s, ";")
	for {
		before, rest, found := strings.Cut(s, "(")
		if !found {
			return s
		}
		_, after, _ := strings.Cut(rest, ")")
		s = before + after
	}
}

// value gives the number behind a letter, and false if the letter is missing or bare.
func (b block) value(letter byte) (float64, bool) {
	for _, p := range b.letter {
		if p.letter == letter && !p.bare {
			return p.value, true
		}
	}
	return 0, false
}

func (b block) has(letter byte) bool {
	for _, p := range b.letter {
		if p.letter == letter {
			return true
		}
	}
	return false
}
