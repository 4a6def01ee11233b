package standin

import (
	"strconv"
	"strings"
)

// heard is one line as it came, taken apart but not yet believed.
type heard struct {
	line string // as it came
	numbering
	sum      byte // as the line claims
	summed   bool
	sumRight bool
	block    block
}

// numbering is what a line says of its place.
type numbering struct {
	number   int64
	numbered bool
}

// takeApart splits N<number> <block>*<checksum>; both frames may be missing.
func takeApart(line string) heard {
	h := heard{line: line}
	body := afterBlanks(line)
	if star := strings.LastIndexByte(body, '*'); star >= 0 {
		sum, err := strconv.ParseUint(strings.TrimSpace(body[star+1:]), 10, 8)
		body, h.summed = body[:star], true
		h.sum = byte(sum)
		h.sumRight = err == nil && h.sum == xor(body)
	}
	h.number, h.numbered, body = lineNumber(body)
	h.block = parseBlock(body)
	return h
}

// xor is the checksum of the community dialect: every byte before the star.
func xor(s string) byte {
	var sum byte
	for i := range len(s) {
		sum ^= s[i]
	}
	return sum
}

func lineNumber(body string) (int64, bool, string) {
	if len(body) == 0 || body[0]|0x20 != 'n' {
		return 0, false, body
	}
	end := 1
	for end < len(body) && (body[end] == '-' || '0' <= body[end] && body[end] <= '9') {
		end++
	}
	n, err := strconv.ParseInt(body[1:end], 10, 32)
	if err != nil {
		return 0, false, body
	}
	return n, true, body[end:]
}

// afterBlanks is s without the blanks in front of it.
func afterBlanks(s string) string {
	for s != "" && (s[0] == ' ' || s[0] == '\t') {
		s = s[1:]
	}
	return s
}
