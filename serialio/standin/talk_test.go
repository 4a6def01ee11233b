package standin

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// awake is a printer that has booted and been heard out, and stays put: no scatter, no greeting in the way.
func awake(t *testing.T, change func(*Profile)) *Firmware {
	t.Helper()
	p := Invented()
	if change != nil {
		change(&p)
	}
	f := New(p)
	f.Advance(2 * time.Second)
	f.Say()
	return f
}

// tell sends lines without numbers, lets each be done, and returns what the printer says to them.
func tell(f *Firmware, lines ...string) string {
	var said strings.Builder
	for _, line := range lines {
		f.Hear([]byte(line + "\n"))
		said.Write(f.Say())
		for i := 0; f.Snapshot().Waiting && i < 10000; i++ {
			f.Advance(100 * time.Millisecond)
			said.Write(f.Say())
		}
	}
	return said.String()
}

// framed is a line with its number and checksum, written here a second time on purpose.
func framed(number int, block string) string {
	body := fmt.Sprintf("N%d %s", number, block)
	var sum byte
	for i := range len(body) {
		sum ^= body[i]
	}
	return fmt.Sprintf("%s*%d", body, sum)
}

func mustSay(t *testing.T, said string, want ...string) {
	t.Helper()
	for _, w := range want {
		if !strings.Contains(said, w) {
			t.Errorf("printer said %q, without %q", said, w)
		}
	}
}

func mustBe(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if diff := got - want; !(diff <= within && diff >= -within) {
		t.Errorf("%s is %v, want %v within %v", what, got, want, within)
	}
}
