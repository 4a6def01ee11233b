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
	letter []param // of args, once lettered
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
	b.word = word.name(s[:len(s)-len(rest)])
	b.args = strings.TrimSpace(rest)
	return b
}

// lettered is the block with its letters read, in the memory of scratch.
func (b block) lettered(scratch []param) block {
	for rest := b.args; rest != ""; {
		var p param
		var ok bool
		if p, rest, ok = cutParam(rest); ok {
			scratch = append(scratch, p)
		}
	}
	b.letter = scratch
	return b
}

// name is "G1", however it was written.
func (p param) name(written string) string {
	if plain(written) {
		return written
	}
	return string(p.letter) + strconv.FormatFloat(p.value, 'f', -1, 64)
}

// plain tells whether a word is written as it is named: a capital and a small whole number.
func plain(word string) bool {
	if len(word) < 2 || len(word) > 6 || word[0] < 'A' || word[0] > 'Z' || word[1] == '0' && len(word) > 2 {
		return false
	}
	for i := 1; i < len(word); i++ {
		if word[i] < '0' || word[i] > '9' {
			return false
		}
	}
	return true
}

// cutParam takes the first letter with its number off s. Without a letter in front it takes one byte off.
func cutParam(s string) (param, string, bool) {
	s = afterBlanks(s)
	if s == "" {
		return param{}, "", false
	}
	c := s[0] &^ 0x20
	if c < 'A' || c > 'Z' {
		return param{}, s[1:], false
	}
	rest := s[1:]
	n := numberLength(rest)
	if n == 0 {
		return param{letter: c, bare: true}, rest, true
	}
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
