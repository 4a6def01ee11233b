package standin

import (
	"bufio"
	"io"
	"os"
	"sync/atomic"
	"testing"

	"golang.org/x/sys/unix"
)

// opened is a host's end of a cable.
func opened(tb testing.TB, cable *Cable) *os.File {
	tb.Helper()
	port, err := os.OpenFile(cable.Name(), os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() { _ = port.Close() })
	return port
}

func TestACableIsPulledAtAnyByteFromTheHost(t *testing.T) {
	var heard atomic.Int64
	profile := Profile{BootTime: -1, FromHost: func(p []byte) []byte { heard.Add(int64(len(p))); return p }}
	cable, printer := plugged(t, profile)
	line := framed(1, "M110 N0") + "\n"
	for n := range int64(len(line)) {
		heard.Store(0)
		port := opened(t, cable)
		cable.PullAfter(FromHost, n)
		write(t, port, line)
		if said, _ := io.ReadAll(port); len(said) > 0 { // ends with the line
			t.Errorf("pulled after %d bytes, it said %q", n, said)
		}
		if _, err := os.Stat(cable.Name()); !os.IsNotExist(err) {
			t.Errorf("pulled after %d bytes, its name: %v", n, err)
		}
		if err := cable.Replug(); err != nil {
			t.Fatal(err)
		}
		port = opened(t, cable)
		write(t, port, "\nM118 back\n") // ends what was begun
		r := bufio.NewReader(port)
		until(t, r, "back")
		until(t, r, "ok")
		if got := heard.Load(); got != n+int64(len("\nM118 back\n")) {
			t.Errorf("pulled after %d bytes, the board heard %d, those of the next host with them", n, got)
		}
		port.Close()
	}
	if s := printer.Snapshot(); s.LastLine != 0 {
		t.Errorf("last line %d", s.LastLine)
	}
}

func TestACableIsPulledAtAnyByteToTheHost(t *testing.T) {
	cable, _ := plugged(t, Profile{BootTime: -1})
	const answer = "ok T:20.5 /0.0 B:20.5 /0.0 @:0 B@:0\n"
	for n := range len(answer) {
		port := opened(t, cable)
		cable.PullAfter(ToHost, int64(n))
		write(t, port, "M105\n")
		said, _ := io.ReadAll(port) // ends with the line
		if string(said) != answer[:n] {
			t.Errorf("pulled after %d bytes, it said %q", n, said)
		}
		port.Close()
		if err := cable.Replug(); err != nil {
			t.Fatal(err)
		}
	}
}

func TestAPullCanBeTakenBack(t *testing.T) {
	cable, _ := plugged(t, Profile{BootTime: -1})
	cable.PullAfter(ToHost, 1)
	cable.PullAfter(ToHost, -1)
	port, r := host(t, cable)
	write(t, port, "M105\n")
	until(t, r, "ok T:")
}
