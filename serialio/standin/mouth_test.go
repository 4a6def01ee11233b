package standin

import (
	"bufio"
	"net"
	"strings"
	"testing"
	"time"
)

// halting is a printer that makes pauses of up to 0.1 s in the middle of its lines.
func halting(seed uint64) func(*Profile) {
	return func(p *Profile) { p.LongestPause, p.Seed = 100*time.Millisecond, seed }
}

// pieces lets a printer say a line, looking when it says so, and nothing else.
func pieces(t *testing.T, f *Firmware, line string) (said []string, took time.Duration) {
	t.Helper()
	f.Hear([]byte(line + "\n"))
	begin := f.now
	for {
		out := string(f.Say())
		if out == "" {
			t.Fatalf("nothing behind %q, and it was due", said)
		}
		if said = append(said, out); f.Say() != nil {
			t.Fatal("there was no pause")
		}
		due, any := f.Due()
		if !any {
			return said, f.now - begin
		}
		f.Advance(due - 1)
		if out := f.Say(); out != nil {
			t.Fatalf("%q came before it was due", out)
		}
		f.Advance(1)
	}
}

func TestAHaltingPrinterPausesInTheMiddleOfALine(t *testing.T) {
	f := awake(t, halting(3))
	for f.Say() != nil || f.mouth.waiting() > 0 {
		f.Advance(time.Second)
	}
	said, took := pieces(t, f, "M115")
	want := tell(awake(t, nil), "M115")
	if got := strings.Join(said, ""); got != want || len(said) < 5 {
		t.Errorf("%d pieces: %q, want %q", len(said), got, want)
	}
	mustBe(t, "seconds of pauses", took.Seconds(), 0.05*float64(len(said)-1), 0.03*float64(len(said)))
	inLine := 0
	for _, piece := range said[:len(said)-1] {
		if !strings.HasSuffix(piece, "\n") {
			inLine++
		}
	}
	if inLine < 4 {
		t.Errorf("%d pauses in the middle of lines", inLine)
	}
}

func TestAResetForgetsTheRestOfTheSentence(t *testing.T) {
	f := awake(t, halting(3))
	f.Hear([]byte("M503\n"))
	f.Say()
	f.Reset()
	f.Advance(time.Minute)
	if said := string(f.Say()); !strings.HasPrefix("start\necho:", said[:min(len(said), 10)]) {
		t.Errorf("after a reset: %q", said)
	}
}

func TestPausesEndOnAServedLine(t *testing.T) {
	profile := Profile{BootTime: -1, LongestPause: time.Second}
	talked(t, profile, 10, func(w net.Conn, r *bufio.Reader, p *Printer) {
		begin := time.Now()
		write(t, w, "M115\n")
		until(t, r, "Cap:EMERGENCY_PARSER:1")
		until(t, r, "ok")
		if took := time.Since(begin); took < 200*time.Millisecond || took > 2*time.Second {
			t.Errorf("took %v of the clock for about 12 pauses of 0.05 s", took)
		}
	})
}
