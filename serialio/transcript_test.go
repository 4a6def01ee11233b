package serialio

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestTranscripts replays conversations, whole and with the printer's bytes split at every place.
func TestTranscripts(t *testing.T) {
	files, err := filepath.Glob("testdata/transcripts/*.txt")
	if err != nil || len(files) < 8 {
		t.Fatalf("%d transcripts, %v", len(files), err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txt"), func(t *testing.T) {
			lines := readLines(t, file)
			replay(t, lines, 1<<20)
			for size := 1; size <= 12; size++ {
				replay(t, lines, size)
			}
		})
	}
}

// FuzzPrinter lets a printer say anything at all, in reads of any size, with lines in flight, and holds the engine to
// its promises: no panic, one end for each job, a Due that is not in the past for ever.
func FuzzPrinter(f *testing.F) {
	files, _ := filepath.Glob("testdata/transcripts/*.txt")
	for _, file := range files {
		var said []string
		for _, line := range readLines(f, file) {
			if text, ok := strings.CutPrefix(line, "< "); ok {
				said = append(said, text)
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

func readLines(t testing.TB, file string) []string {
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var lines []string
	for s := bufio.NewScanner(f); s.Scan(); {
		if line := s.Text(); line != "" && line[0] != '#' {
			lines = append(lines, line)
		}
	}
	return lines
}

// replayer plays one side and holds the engine to the other.
type replayer struct {
	t      testing.TB
	engine *Engine
	split  splitter
	size   int // bytes of a read
	now    Mono
	job    uint32
	wrote  []string // not yet claimed by the transcript
	ends   []string
}

func newReplay(t testing.TB, size int) *replayer {
	r := &replayer{t: t, engine: NewEngine(0, 0), size: size}
	r.step(Event{Kind: Tick})
	r.step(Event{Kind: Opened})
	return r
}

func replay(t *testing.T, lines []string, size int) {
	r := newReplay(t, size)
	for i, line := range lines {
		kind, rest := line[0], strings.TrimPrefix(line[1:], " ")
		if !r.play(kind, rest, line) {
			t.Fatalf("reads of %d bytes, line %d: %s\nwritten and not expected: %q; ends: %q; %s, %s", size, i+1, line, r.wrote, r.ends,
				r.engine.Status().State, r.engine.Status().Why)
		}
	}
}

func (r *replayer) play(kind byte, rest, line string) bool {
	switch kind {
	case '<':
		r.hear([]byte(line[2:] + "\n"))
	case '>':
		if len(r.wrote) == 0 || r.wrote[0] != rest {
			return false
		}
		r.wrote = r.wrote[1:]
	case '+':
		d, err := time.ParseDuration(rest)
		if err != nil || len(r.wrote) > 0 {
			return false
		}
		r.pass(d)
	case '?':
		r.job++
		r.step(Event{Kind: Submit, Job: r.job, Text: []byte(rest)})
	case '!':
		r.step(Event{Kind: map[string]Kind{"stop": Stop, "halt": Halt}[rest]})
	case '@':
		return r.engine.Status().State.String() == rest
	case '=':
		if len(r.ends) == 0 || strings.TrimSpace(r.ends[0]) != rest {
			return false
		}
		r.ends = r.ends[1:]
	default:
		return false
	}
	return true
}

// hear gives the engine what the printer said, in reads of the given size.
func (r *replayer) hear(said []byte) {
	for len(said) > 0 {
		n := min(r.size, len(said))
		r.split.split(said[:n], func(line []byte) { r.step(Event{Kind: Heard, Text: line}) })
		said = said[n:]
	}
}

// pass lets time go by, with every tick the engine asks for. A tick may set the next for the same moment, but not for
// ever.
func (r *replayer) pass(d time.Duration) {
	end := r.now + d
	for ticks := 0; r.engine.Due() <= end; ticks++ {
		if ticks > 1000 {
			r.t.Fatal("the engine asks for ticks without end")
		}
		r.now = max(r.now, r.engine.Due())
		r.step(Event{Kind: Tick})
	}
	r.now = end
}

func (r *replayer) step(ev Event) {
	for _, e := range r.engine.Step(r.now, ev, nil) {
		switch e.Do {
		case Write:
			r.wrote = append(r.wrote, strings.Split(strings.Trim(string(e.Text), "\n"), "\n")...)
		case End:
			said := strings.ReplaceAll(strings.TrimSuffix(string(e.Text), "\n"), "\n", " | ")
			if e.Outcome != Obeyed && e.Outcome != Unknown {
				said = e.Why
			}
			if e.Outcome == Restarted {
				said = ""
			}
			r.ends = append(r.ends, fmt.Sprint(outcomeNames[e.Outcome], " ", said))
		}
	}
}

var outcomeNames = map[Outcome]string{Obeyed: "obeyed", Refused: "refused", Unknown: "unknown", Unsent: "unsent", Stopped: "stopped",
	WasHalted: "halted", Lost: "lost", Restarted: "restarted"}
