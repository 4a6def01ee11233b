package serialio

import (
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// fewest is how many exchanges there must be: a glob that finds nothing is no test.
const fewest = 60

// TestTranscripts replays each exchange whole, byte by byte, and with the printer's bytes torn at each single place and a
// moment between the two parts.
func TestTranscripts(t *testing.T) {
	files := transcripts(t)
	if len(files) < fewest {
		t.Fatalf("%d transcripts", len(files))
	}
	places := 0
	for _, file := range files {
		ops := readExchange(t, file)
		places += bytesSaid(ops)
		t.Run(nameOf(file), func(t *testing.T) {
			replay(t, ops, whole)
			replay(t, ops, byByte)
			for at := range bytesSaid(ops) {
				replay(t, ops, tear{size: unlimited, at: at, rest: 20 * time.Millisecond})
			}
		})
	}
	t.Logf("%d exchanges, torn at %d places", len(files), places)
}

// FuzzPrinter lets a printer say anything at all, in reads of any size, with lines in flight, and holds the engine to
// its promises: no panic, one end for each job, a Due that is not in the past for ever.
func FuzzPrinter(f *testing.F) {
	for _, file := range transcripts(f) {
		var said []string
		for _, op := range readExchange(f, file) {
			if op.kind == '<' {
				said = append(said, op.text)
			}
		}
		f.Add([]byte(strings.Join(said, "\n")), uint8(7))
	}
	f.Fuzz(func(t *testing.T, said []byte, size uint8) {
		r := newReplay(t, int(size)%40+1)
		open := 0
		for i := 0; i < len(said); i += r.size {
			r.hear(said[i:min(i+r.size, len(said))])
			if r.engine.Status().State == Listening && r.engine.Room() {
				open++
				r.step(Event{Kind: Submit, Job: uint32(open), Text: []byte("G1 E1 F60")})
			}
			r.pass(50 * time.Millisecond)
		}
		r.step(Event{Kind: Gone, Text: []byte("fuzzed")})
		if len(r.ends) != open {
			t.Errorf("%d jobs, %d ends", open, len(r.ends))
		}
	})
}

func transcripts(t testing.TB) []string {
	t.Helper()
	files, err := filepath.Glob("testdata/transcripts/*.txt")
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func nameOf(file string) string { return strings.TrimSuffix(filepath.Base(file), ".txt") }
