package standin

import (
	"bytes"
	"strconv"
)

// heard is one line as it came, taken apart but not yet believed.
type heard struct {
	number   int64
	numbered bool
	sum      byte // as the line claims
	summed   bool
	sumRight bool
	block    block
}

// takeApart splits N<number> <block>*<checksum>; both frames may be missing.
func takeApart(line []byte) heard {
	line = bytes.TrimLeft(line, " \t")
	var h heard
	body := line
	if star := bytes.LastIndexByte(line, '*'); star >= 0 {
		sum, err := strconv.ParseUint(string(bytes.TrimSpace(line[star+1:])), 10, 8)
		body, h.summed = line[:star], true
		h.sum = byte(sum)
		h.sumRight = err == nil && h.sum == xor(body)
	}
	h.number, h.numbered, body = lineNumber(body)
	h.block = parseBlock(string(body))
	return h
}

// xor is the checksum of the community dialect: every byte before the star.
func xor(p []byte) byte {
	var sum byte
	for _, c := range p {
		sum ^= c
	}
	return sum
}

func lineNumber(body []byte) (int64, bool, []byte) {
	if len(body) == 0 || body[0]|0x20 != 'n' {
		return 0, false, body
	}
	end := 1
	for end < len(body) && (body[end] == '-' || '0' <= body[end] && body[end] <= '9') {
		end++
	}
	n, err := strconv.ParseInt(string(body[1:end]), 10, 32)
	if err != nil {
		return 0, false, body
	}
	return n, true, body[end:]
}
