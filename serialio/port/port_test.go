package port

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"go.bug.st/serial"
)

func TestCloseFreesAReaderAndMayBeRepeated(t *testing.T) {
	c := mustOpen(t, newCable(t).name, 0)
	ended := make(chan error, 1)
	go func() { // ends because Close frees it
		_, err := c.Read(make([]byte, 1))
		ended <- err
	}()
	for range 3 {
		if err := c.Close(); err != nil {
			t.Fatalf("close: %v", err)
		}
	}
	if err := <-ended; !errors.Is(err, ErrClosed) || errors.Is(err, ErrGone) {
		t.Errorf("the reader was told %v", err)
	}
	if _, err := c.Read(make([]byte, 1)); !errors.Is(err, ErrClosed) {
		t.Errorf("read after close: %v", err)
	}
}

func TestAVanishedDeviceIsNoClose(t *testing.T) {
	cable := newCable(t)
	c := mustOpen(t, cable.name, 0)
	cable.far.Close()
	if _, err := c.Read(make([]byte, 1)); !errors.Is(err, ErrGone) || errors.Is(err, ErrClosed) {
		t.Errorf("read: %v", err)
	}
	if _, err := c.Write([]byte("M105\n")); !errors.Is(err, ErrGone) || errors.Is(err, ErrClosed) {
		t.Errorf("write: %v", err)
	}
	c.Close()
	if _, err := c.Write([]byte("M105\n")); !errors.Is(err, ErrClosed) {
		t.Errorf("write after close: %v", err)
	}
}

// The next file that is opened gets the old descriptor's number: a late write must not land in it.
func TestNoWriteAfterCloseReachesTheNextFile(t *testing.T) {
	c := mustOpen(t, newCable(t).name, 0)
	c.Close()
	name := filepath.Join(t.TempDir(), "logbook")
	for range 8 { // enough to take every number that Close has freed
		f, err := os.OpenFile(name, os.O_CREATE|os.O_RDWR|os.O_APPEND, 0o600)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
	}
	if _, err := c.Write([]byte("M104 S0\n")); !errors.Is(err, ErrClosed) {
		t.Errorf("write after close: %v", err)
	}
	if got, _ := os.ReadFile(name); len(got) > 0 {
		t.Errorf("the next file was given %q", got)
	}
}

func TestCloseDoesNotWaitForAWriterThatIsStuck(t *testing.T) {
	cable := newCable(t)
	c := mustOpen(t, cable.name, 0)
	ended := make(chan error, 1)
	go func() { // ends when the far end is closed, at the latest
		_, err := c.Write(bytes.Repeat([]byte("G1 X1\n"), 1<<18)) // no pseudo-terminal takes that much unread
		ended <- err
	}()
	for len(c.writing) == 0 {
		runtime.Gosched()
	}
	if err := c.Close(); err != nil {
		t.Errorf("close: %v", err)
	}
	cable.far.Close()
	if err := <-ended; !errors.Is(err, ErrClosed) {
		t.Errorf("the writer was told %v", err)
	}
}

// shortDevice takes three bytes at a time and reads nothing now and then, as a device may.
type shortDevice struct {
	took   bytes.Buffer
	reads  int
	closed int
}

func (d *shortDevice) Write(p []byte) (int, error) { return d.took.Write(p[:min(3, len(p))]) }
func (d *shortDevice) Close() error                { d.closed++; return nil }
func (d *shortDevice) ResetOutputBuffer() error    { return nil }
func (d *shortDevice) Read(p []byte) (int, error) {
	if d.reads++; d.reads < 200 {
		return 0, nil
	}
	return copy(p, "ok"), nil
}

func TestShortWritesAreFinishedAndEmptyReadsAreNoEnd(t *testing.T) {
	dev, held := &shortDevice{}, &shortDevice{}
	c := newConn("fake", dev, held)
	const line = "N1 G1 X10 E2.5 F1800*115\n"
	if n, err := c.Write([]byte(line)); n != len(line) || err != nil || dev.took.String() != line {
		t.Errorf("wrote %d, %v: %q", n, err, dev.took.String())
	}
	buf := make([]byte, 8)
	if n, err := c.Read(buf); string(buf[:n]) != "ok" || err != nil {
		t.Errorf("read %q, %v", buf[:n], err)
	}
	c.Close()
	c.Close()
	if dev.closed != 1 || held.closed != 1 {
		t.Errorf("closed %d times, unlocked %d times", dev.closed, held.closed)
	}
}

func TestPlugCyclesLeakNothing(t *testing.T) {
	files, goroutines := openFiles(t), runtime.NumGoroutine()
	for range 300 {
		cable := newCable(t)
		c, err := open(t.Context(), cable.name, 0)
		if err != nil {
			t.Fatal(err)
		}
		cable.far.Close()
		if _, err := c.Read(make([]byte, 1)); !errors.Is(err, ErrGone) {
			t.Fatal(err)
		}
		c.Close()
	}
	if after := openFiles(t); after > files {
		t.Errorf("%d files open before, %d after", files, after)
	}
	if after := runtime.NumGoroutine(); after > goroutines {
		t.Errorf("%d goroutines before, %d after", goroutines, after)
	}
}

// What the code above relies on or guards against in the library. A new version that differs is seen here.
func TestTheLibraryIsAsMeasured(t *testing.T) {
	cable := newCable(t)
	raw, err := serial.Open(cable.name, &serial.Mode{BaudRate: DefaultBaud})
	if err != nil {
		t.Fatal(err)
	}
	if err := raw.SetReadTimeout(time.Millisecond); err != nil {
		t.Fatal(err)
	}
	if n, err := raw.Read(make([]byte, 1)); n != 0 || err != nil {
		t.Errorf("an expired read timeout gives %d, %v: it was nothing and no error", n, err)
	}
	if err := raw.SetDTR(true); err == nil {
		t.Error("a pseudo-terminal has a DTR line now")
	}
	raw.Close()
	_, err = raw.Read(make([]byte, 1))
	var pointer *serial.PortError
	var value serial.PortError
	if !errors.As(err, &pointer) || pointer.Code() != serial.PortClosed || errors.As(err, &value) {
		t.Errorf("read after close: %T %v: it was a pointer", err, err)
	}
	if _, err := serial.Open("/dev/null", &serial.Mode{BaudRate: DefaultBaud}); errors.Unwrap(err) != nil {
		t.Errorf("the cause of %v can be reached now", err)
	}
	func() {
		defer func() {
			if recover() == nil {
				t.Error("a nil mode no longer panics")
			}
		}()
		serial.Open(cable.name, nil)
	}()
	var _ io.ReadWriteCloser = raw
}
