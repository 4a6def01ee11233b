package gcode

import (
	"bytes"
	"encoding/csv"
	"os"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// TestPublishedChecksums holds Checksum and AppendFrame to the six lines that the community's public wiki page "G-code"
// prints in its introduction (rev. 61563 of 18 July 2012), retyped in testdata/wiki_checksums.csv.
func TestPublishedChecksums(t *testing.T) {
	f, err := os.Open("testdata/wiki_checksums.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) != 7 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	for _, row := range rows[1:] {
		if got := strconv.Itoa(int(Checksum([]byte(row[0])))); got != row[1] {
			t.Errorf("%s: checksum %s, published %s", row[0], got, row[1])
		}
	}
}

// TestFrames: the first is the page's own example, the others follow from the XOR by hand.
func TestFrames(t *testing.T) {
	for _, c := range []struct {
		number int64
		block  string
		want   string
	}{
		{3, "T0", "N3 T0*57\n"},
		{123, "M105", "N123 M105*39\n"},
		{1, "G1 X10 E2.5 F1800", "N1 G1 X10 E2.5 F1800*115\n"},
		{-1, "M110", "N-1 M110*15\n"},
		{0, "M110 N0", "N0 M110 N0*125\n"},
	} {
		if got := string(AppendFrame(nil, c.number, []byte(c.block))); got != c.want {
			t.Errorf("framed %q, want %q", got, c.want)
		}
	}
}

// TestChecksumCatches: a single flipped bit, and an odd number of lost or doubled characters in the set 0x20 to 0x5F,
// always change the sum: each such character has exactly one of bits 5 and 6 set, so the two count the characters.
func TestChecksumCatches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := rapid.SliceOfN(rapid.ByteRange(0x20, 0x5f), 2, 60).Draw(t, "line")
		sum, at := Checksum(line), rapid.IntRange(0, len(line)-1).Draw(t, "at")
		flipped := bytes.Clone(line)
		flipped[at] ^= 1 << rapid.IntRange(0, 7).Draw(t, "bit")
		lost := append(bytes.Clone(line[:at]), line[at+1:]...)
		doubled := append(bytes.Clone(line[:at+1]), line[at:]...)
		for what, damaged := range map[string][]byte{"flipped": flipped, "lost": lost, "doubled": doubled} {
			if Checksum(damaged) == sum {
				t.Errorf("%s at %d of %q is not caught", what, at, line)
			}
		}
	})
}

func TestFrameAllocatesNothing(t *testing.T) {
	room, block := make([]byte, 0, 96), []byte("G1 X10 E2.5 F1800")
	if n := testing.AllocsPerRun(1000, func() { room = AppendFrame(room[:0], 12345, block) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

func BenchmarkAppendFrame(b *testing.B) {
	room, block := make([]byte, 0, 96), []byte("G1 X10 E2.5 F1800")
	b.ReportAllocs()
	for b.Loop() {
		room = AppendFrame(room[:0], 12345, block)
	}
}
