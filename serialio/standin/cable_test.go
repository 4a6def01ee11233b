package standin

import (
	"bufio"
	"context"
	"io"
	"os"
	"strings"
	"testing"

	"go.bug.st/serial"
)

// plugged serves a printer at a real pseudo-terminal for the length of a test.
func plugged(t *testing.T, profile Profile) (*Cable, *Printer) {
	t.Helper()
	cable, err := NewCable(t.TempDir(), "printer")
	if err != nil {
		t.Fatal(err)
	}
	printer := NewPrinter(profile, 50)
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error)
	go func() { ended <- cable.Run(ctx, printer) }() // ends with the test
	t.Cleanup(func() {
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	return cable, printer
}

// host opens the line as a real host does.
func host(t *testing.T, cable *Cable) (io.ReadWriteCloser, *bufio.Reader) {
	t.Helper()
	port, err := serial.Open(cable.Name(), &serial.Mode{BaudRate: 115200})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = port.Close() })
	return port, bufio.NewReader(port)
}

// until reads lines up to one that begins so.
func until(t *testing.T, r *bufio.Reader, begins string) string {
	t.Helper()
	for {
		line, err := r.ReadString('\n')
		if err != nil {
			t.Fatalf("waiting for %q: %v after %q", begins, err, line)
		}
		if strings.HasPrefix(line, begins) {
			return line
		}
	}
}

func write(t *testing.T, w io.Writer, line string) {
	t.Helper()
	if _, err := io.WriteString(w, line); err != nil {
		t.Fatal(err)
	}
}

func TestEachOpeningOfTheLineResetsAndGreets(t *testing.T) {
	cable, printer := plugged(t, Invented())
	for opening := 1; opening <= 3; opening++ {
		port, r := host(t, cable)
		until(t, r, "start")
		write(t, port, framed(1, "M105")+"\n")
		until(t, r, "ok T:")
		if got := printer.Snapshot(); got.Resets != opening || got.LastLine != 1 {
			t.Errorf("opening %d: %d resets, last line %d", opening, got.Resets, got.LastLine)
		}
		if err := port.Close(); err != nil {
			t.Fatal(err)
		}
	}
}

func TestAPrinterThatDoesNotResetKeepsItsLineNumber(t *testing.T) {
	cable, printer := plugged(t, Profile{BootTime: -1})
	port, r := host(t, cable)
	write(t, port, framed(1, "M110 N41")+"\n")
	until(t, r, "ok")
	if err := port.Close(); err != nil {
		t.Fatal(err)
	}
	port, r = host(t, cable)
	write(t, port, framed(42, "M105")+"\n")
	until(t, r, "ok T:")
	if s := printer.Snapshot(); s.Resets != 0 || s.LastLine != 42 {
		t.Errorf("%d resets, last line %d", s.Resets, s.LastLine)
	}
}

func TestUnplugEndsTheHostsReadAndReplugComesBackUnderItsName(t *testing.T) {
	cable, printer := plugged(t, Invented())
	port, r := host(t, cable)
	until(t, r, "start")
	write(t, port, "M104 S200\n")
	until(t, r, "ok")
	if err := cable.Unplug(); err != nil {
		t.Fatal(err)
	}
	if _, err := io.Copy(io.Discard, r); err == nil {
		t.Log("the host's read ended without an error")
	}
	if _, err := os.Stat(cable.Name()); !os.IsNotExist(err) {
		t.Errorf("the name of an unplugged printer: %v", err)
	}
	if s := printer.Snapshot(); s.NozzleTargetC != 200 {
		t.Errorf("an unplugged printer has a target of %v", s.NozzleTargetC)
	}
	if err := cable.Replug(); err != nil {
		t.Fatal(err)
	}
	_, r = host(t, cable)
	until(t, r, "start")
}
