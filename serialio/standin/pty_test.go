package standin

import (
	"errors"
	"os"
	"testing"

	"golang.org/x/sys/unix"
)

// heardBy reads a pseudo-terminal until it is closed, and passes on what each Read returned.
func heardBy(p *PTY) <-chan string {
	heard := make(chan string, 10)
	go func() { // ends when p is closed
		defer close(heard)
		for {
			b := make([]byte, 100)
			n, err := p.Read(b)
			switch {
			case errors.Is(err, errHostOpened):
				heard <- "opened"
			case err != nil:
				heard <- err.Error()
				return
			default:
				heard <- string(b[:n])
			}
		}
	}()
	return heard
}

func openedPTY(t *testing.T) (*PTY, <-chan string) {
	t.Helper()
	p, err := OpenPTY()
	if err != nil {
		t.Fatal(err)
	}
	heard := heardBy(p)
	t.Cleanup(func() {
		if err := p.Close(); err != nil {
			t.Error(err)
		}
		for range heard {
		}
	})
	return p, heard
}

func slave(t *testing.T, p *PTY) *os.File {
	t.Helper()
	f, err := os.OpenFile(p.Name(), os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func mustHear(t *testing.T, heard <-chan string, want string) {
	t.Helper()
	if got := <-heard; got != want {
		t.Fatalf("heard %q, want %q", got, want)
	}
}

func TestAnOpeningIsToldBeforeTheBytesOfItsHost(t *testing.T) {
	p, heard := openedPTY(t)
	for range 100 {
		host := slave(t, p)
		write(t, host, "hello\n")
		mustHear(t, heard, "opened")
		mustHear(t, heard, "hello\n")
		host.Close()
	}
}

func TestASecondHostIsNoOpening(t *testing.T) {
	p, heard := openedPTY(t)
	first := slave(t, p)
	mustHear(t, heard, "opened")
	second := slave(t, p)
	write(t, second, "both\n")
	mustHear(t, heard, "both\n")
	second.Close()
	write(t, first, "one\n")
	mustHear(t, heard, "one\n")
	first.Close()
}

func TestTheNextHostFindsNothingOfTheLast(t *testing.T) {
	p, heard := openedPTY(t)
	host := slave(t, p)
	mustHear(t, heard, "opened")
	write(t, p, "unread\n")
	host.Close()
	write(t, p, "to nobody\n")
	host = slave(t, p)
	defer host.Close()
	mustHear(t, heard, "opened")
	write(t, p, "fresh\n")
	b := make([]byte, 100)
	n, err := host.Read(b)
	if err != nil || string(b[:n]) != "fresh\n" {
		t.Errorf("the next host read %q, %v", b[:n], err)
	}
}

// Far more than the kernel keeps: the write waits for its host, and ends when the line is pulled out.
func TestAWriteToAHostThatDoesNotReadEndsWithTheLine(t *testing.T) {
	p, heard := openedPTY(t)
	host := slave(t, p)
	defer host.Close()
	mustHear(t, heard, "opened")
	ended := make(chan error)
	go func() { // ends with p
		_, err := p.Write(make([]byte, 1<<20))
		ended <- err
	}()
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	if err := <-ended; !errors.Is(err, os.ErrClosed) {
		t.Errorf("the write ended with %v", err)
	}
	if _, err := p.Read(make([]byte, 1)); !errors.Is(err, os.ErrClosed) {
		t.Errorf("a read after the close: %v", err)
	}
}

func TestACableWhoseNameIsGoneIsStillPulledOut(t *testing.T) {
	cable, err := NewCable(t.TempDir(), "printer")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(cable.Name()); err != nil {
		t.Fatal(err)
	}
	if err := cable.Unplug(); err != nil {
		t.Error(err)
	}
	if err := cable.Unplug(); err != nil {
		t.Errorf("a second time: %v", err)
	}
}
