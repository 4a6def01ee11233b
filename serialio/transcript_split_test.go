package serialio

import (
	"bytes"
	"slices"
	"strings"
	"testing"
)

// linesOf is what a splitter makes of bytes that come in reads of a size.
func linesOf(said []byte, size int) (lines []string) {
	var s splitter
	for len(said) > 0 {
		n := min(size, len(said))
		s.split(said[:n], func(line []byte) { lines = append(lines, string(line)) })
		said = said[n:]
	}
	return lines
}

// FuzzSplitter: the same lines come out however the bytes are split over reads; none is empty, too long or two, and what
// is not too long is all there.
func FuzzSplitter(f *testing.F) {
	f.Add([]byte("ok\r\nT:20.5 /0.0\n\nok"), uint8(3))
	f.Add(bytes.Repeat([]byte("x"), 2*maxReply), uint8(7))
	f.Add(append(bytes.Repeat([]byte("x"), maxReply), "\nok\n"...), uint8(1))
	f.Fuzz(func(t *testing.T, said []byte, size uint8) {
		lines := linesOf(said, unlimited)
		if torn := linesOf(said, int(size)+1); !slices.Equal(lines, torn) {
			t.Fatalf("%q: whole %q, in reads of %d %q", said, lines, int(size)+1, torn)
		}
		want := strings.FieldsFunc(string(said), func(c rune) bool { return c == '\n' || c == '\r' })
		if !bytes.HasSuffix(said, []byte("\n")) && !bytes.HasSuffix(said, []byte("\r")) && len(want) > 0 {
			if last := want[len(want)-1]; len(last) <= maxReply { // it has not ended yet
				want = want[:len(want)-1]
			}
		}
		for i, line := range want {
			if i >= len(lines) || lines[i] != line[:min(len(line), maxReply)] {
				t.Fatalf("%q: line %d of %q", said, i, lines)
			}
		}
		if len(lines) != len(want) {
			t.Fatalf("%q: %d lines, %d", said, len(lines), len(want))
		}
	})
}
