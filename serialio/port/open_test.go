package port

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"go.bug.st/serial"
	"golang.org/x/sys/unix"
)

func TestBytesGoBothWaysUnderTheStableName(t *testing.T) {
	cable := newCable(t)
	c := mustOpen(t, cable.linked(t), 0)
	if _, err := c.Write([]byte("M105\n")); err != nil {
		t.Fatal(err)
	}
	if got := cable.hear(t, 5); got != "M105\n" {
		t.Errorf("far end heard %q", got)
	}
	if _, err := cable.far.WriteString("ok\r\n"); err != nil {
		t.Fatal(err)
	}
	buf := make([]byte, 16)
	if n, err := c.Read(buf); err != nil || !strings.HasPrefix("ok\r\n", string(buf[:n])) {
		t.Errorf("read %q, %v: the line must be raw", buf[:n], err)
	}
}

// A pseudo-terminal never refuses a speed, so this shows that it is asked for, not that a chip can do it.
func TestTheKernelHoldsTheSpeed(t *testing.T) {
	for _, speed := range []struct {
		asked int
		want  uint32
	}{{0, 115200}, {115200, 115200}, {230400, 230400}, {250000, 250000}, {500000, 500000}, {1000000, 1000000}, {12345, 12345}} {
		cable := newCable(t)
		mustOpen(t, cable.name, speed.asked)
		held, err := unix.IoctlGetTermios(int(cable.far.Fd()), unix.TCGETS2)
		if err != nil {
			t.Fatal(err)
		}
		if held.Ospeed != speed.want || held.Ispeed != speed.want {
			t.Errorf("asked for %d: the kernel holds %d out, %d in", speed.asked, held.Ospeed, held.Ispeed)
		}
	}
}

func TestWhatCannotBeOpenedSaysWhy(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "notes.txt")
	if err := os.WriteFile(file, []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		baud int
		want error
	}{
		{filepath.Join(folder, "ttyUSB7"), 0, ErrMissing},
		{filepath.Join(folder, "ttyUSB7"), 0, fs.ErrNotExist}, // the cause stays in reach
		{file, 0, ErrNotAPort},
		{folder, 0, ErrNotAPort},
		{"/dev/null", 0, ErrNotAPort}, // a character device, and yet no port: the library finds out
		{newCable(t).name, 300, ErrBaud},
		{newCable(t).name, 1 << 30, ErrBaud},
		{newCable(t).name, -1, ErrBaud},
	} {
		p, err := Open(t.Context(), c.name, c.baud)
		if !errors.Is(err, c.want) || p != nil {
			t.Errorf("%s at %d: %v, want %v", c.name, c.baud, err, c.want)
		}
		if err != nil && !strings.Contains(err.Error(), c.name) {
			t.Errorf("%q does not name %s", err, c.name)
		}
	}
	if _, err := Open(ended(), newCable(t).name, 0); !errors.Is(err, context.Canceled) {
		t.Errorf("with an ended context: %v", err)
	}
}

func TestASecondOpenerIsToldThatThePortIsOccupied(t *testing.T) {
	cable := newCable(t)
	first, err := open(t.Context(), cable.name, 0)
	if err != nil {
		t.Fatal(err)
	}
	// under another name as well: it is the device that is locked
	if _, err := open(t.Context(), cable.linked(t), 0); !errors.Is(err, ErrOccupied) {
		t.Errorf("second open: %v", err)
	}
	first.Close()
	again, err := open(t.Context(), cable.name, 0)
	if err != nil {
		t.Fatalf("after Close: %v", err)
	}
	again.Close()
}

// Why there is a lock of our own: the kernel keeps an ordinary user out, and lets root in.
func TestTheKernelKeepsOnlyOrdinaryUsersOut(t *testing.T) {
	cable := newCable(t)
	mustOpen(t, cable.name, 0)
	if os.Geteuid() == 0 {
		if err := os.Chmod(cable.name, 0o666); err != nil {
			t.Fatal(err)
		}
		second, err := serial.Open(cable.name, &serial.Mode{BaudRate: DefaultBaud})
		if err != nil {
			t.Errorf("root is kept out by the kernel now: %v; the lock may be unneeded", err)
		} else {
			second.Close()
			mustReopenExclusive(t, cable)
		}
	}
	asNobody(t, func() {
		_, err := serial.Open(cable.name, &serial.Mode{BaudRate: DefaultBaud})
		if err = inOurTerms(cable.name, err); !errors.Is(err, ErrOccupied) {
			t.Errorf("an ordinary user: %v", err)
		}
	})
}

// mustReopenExclusive: the second opener's Close has lifted the kernel's exclusion; put it back.
func mustReopenExclusive(t *testing.T, cable *cable) {
	t.Helper()
	f, err := os.OpenFile(cable.name, os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	if err := unix.IoctlSetInt(int(f.Fd()), unix.TIOCEXCL, 0); err != nil {
		t.Fatal(err)
	}
}
