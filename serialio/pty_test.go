package serialio

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"fettle/serialio/port"
)

// openPTY makes a pseudo-terminal and returns its far end and the name of the near one, which is opened as a port.
func openPTY(t testing.TB) (*os.File, string) {
	far, err := os.OpenFile("/dev/ptmx", os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Skipf("no pseudo-terminal here: %v", err)
	}
	raw, err := far.SyscallConn() // Fd would make its reads block, and Close would no longer end them
	if err != nil {
		t.Fatal(err)
	}
	var n int
	var unlock, number error
	err = raw.Control(func(fd uintptr) {
		unlock = unix.IoctlSetPointerInt(int(fd), unix.TIOCSPTLCK, 0)
		n, number = unix.IoctlGetInt(int(fd), unix.TIOCGPTN)
	})
	if err := errors.Join(err, unlock, number); err != nil {
		t.Fatal(err)
	}
	return far, fmt.Sprintf("/dev/pts/%d", n)
}

// respond answers each line with ok, and what the greeting needs, until the far end is closed.
func respond(far *os.File) {
	var b board
	in := bufio.NewReader(far)
	for {
		line, err := in.ReadString('\n')
		if err != nil {
			return
		}
		if _, err := io.WriteString(far, answerTo(&b, line)); err != nil {
			return
		}
	}
}

// answerTo is "ok" for a move, at once, and the board's own words for the rest.
func answerTo(b *board, line string) string {
	if strings.Contains(line, " G1 ") {
		b.last++
		return "ok\n"
	}
	_, says := b.obey(strings.TrimSpace(line))
	return strings.Join(says, "\n") + "\n"
}

// TestPTY holds a conversation over a real pseudo-terminal, and notices that it is pulled.
func TestPTY(t *testing.T) {
	far, name := openPTY(t)
	go respond(far)
	l, stop := runOn(t, name)
	defer stop()
	for range 200 {
		if _, err := l.Send(t.Context(), "G1 X10 E2.5 F1800"); err != nil {
			t.Fatal(err)
		}
	}
	far.Close()
	waitFor(t, l, Unplugged)
}

// runOn runs a line on a port and waits until it listens. What it returns ends it and waits for that.
func runOn(t testing.TB, name string) (*Line, func()) {
	ctx, cancel := context.WithCancel(context.Background())
	l := New(Config{Open: func(ctx context.Context) (io.ReadWriteCloser, error) { return port.Open(ctx, name, 0) }})
	ended := make(chan error, 1)
	go func() { ended <- l.Run(ctx) }()
	waitFor(t, l, Listening)
	return l, func() { cancel(); <-ended }
}

// waitFor waits for a state on the wall clock. It asserts nothing about how long that takes.
func waitFor(t testing.TB, l *Line, s State) {
	giveUp := time.After(time.Minute)
	for {
		changed := l.Changed()
		if l.Snapshot().State == s {
			return
		}
		select {
		case <-changed:
		case <-giveUp:
			t.Fatalf("never %s: %+v", s, l.Snapshot())
		}
	}
}

// BenchmarkLinePTY sends lines over a free pseudo-terminal. In turns with it, so that all meet the same load, a bare loop
// writes a frame and reads until a line feed on another one of the same kind, and so does a relay, whose reader is a
// goroutine of its own: the least that a line can do, since a read cannot be given up. The metrics are the medians of
// the bare loop's time by the others', turn by turn. The far end is a goroutine here, or a process of its own.
func BenchmarkLinePTY(b *testing.B) {
	b.Run("goroutine", func(b *testing.B) { benchPTY(b, farGoroutine) })
	b.Run("process", func(b *testing.B) { benchPTY(b, farProcess) })
}

func benchPTY(b *testing.B, answering func(*testing.B) string) {
	const turn = 500
	bareName, lineName, relayName := answering(b), answering(b), answering(b)
	bare, err := port.Open(b.Context(), bareName, 0)
	if err != nil {
		b.Fatal(err)
	}
	defer bare.Close()
	l, stop := runOn(b, lineName)
	defer stop()
	relay, err := port.Open(b.Context(), relayName, 0)
	if err != nil {
		b.Fatal(err)
	}
	defer relay.Close()
	heard := relayed(relay)
	pingPong(b, bare, turn)
	sendAll(b, l, turn)

	var ratios, bounds []float64
	var bareTime time.Duration
	b.ResetTimer()
	for sent := 0; sent < b.N; sent += turn {
		b.StopTimer()
		begun := time.Now()
		pingPong(b, bare, turn)
		bareTook := time.Since(begun)
		begun = time.Now()
		relayAll(b, relay, heard, turn)
		bounds = append(bounds, float64(bareTook)/float64(time.Since(begun)))
		b.StartTimer()
		begun = time.Now()
		sendAll(b, l, turn)
		ratios = append(ratios, float64(bareTook)/float64(time.Since(begun)))
		bareTime += bareTook
	}
	b.StopTimer()
	slices.Sort(ratios)
	slices.Sort(bounds)
	b.ReportMetric(float64(bareTime.Nanoseconds())/float64(len(ratios)*turn), "bare-ns/line")
	b.ReportMetric(ratios[len(ratios)/2], "x-of-bare")
	b.ReportMetric(bounds[len(bounds)/2], "relay-x-of-bare")
}

// farGoroutine is the name of a port whose far end answers from a goroutine for the rest of the benchmark.
func farGoroutine(b *testing.B) string {
	far, name := openPTY(b)
	b.Cleanup(func() { far.Close() })
	go respond(far)
	return name
}

// farProcess is the same from a process of its own: a printer does not share our scheduler.
func farProcess(b *testing.B) string {
	far, name := openPTY(b)
	child := exec.Command(os.Args[0])
	child.Env = append(os.Environ(), farEnd+"=1")
	child.ExtraFiles = []*os.File{far}
	held, err := os.OpenFile(name, os.O_RDWR|unix.O_NOCTTY, 0) // or the far end would end while no port is open
	if err != nil {
		b.Fatal(err)
	}
	if err := child.Start(); err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() {
		far.Close()
		held.Close()
		child.Process.Kill()
		child.Wait()
	})
	return name
}

// farEnd in the environment makes the test program a far end on its file 3.
const farEnd = "FETTLE_TEST_FAR_END"

func TestMain(m *testing.M) {
	if os.Getenv(farEnd) != "" {
		respond(os.NewFile(3, "far end"))
		return
	}
	os.Exit(m.Run())
}

// relayed reads a port in a goroutine of its own, until the port is closed, and tells of each line feed.
func relayed(p io.Reader) <-chan struct{} {
	heard := make(chan struct{})
	go func() { // ends when the port is closed
		room := make([]byte, 64)
		for {
			n, err := p.Read(room)
			if err != nil {
				return
			}
			for range bytes.Count(room[:n], []byte{'\n'}) {
				heard <- struct{}{}
			}
		}
	}()
	return heard
}

// relayAll writes frames and waits for the answer to each, as the reader tells it.
func relayAll(b *testing.B, p io.Writer, heard <-chan struct{}, n int) {
	frame := []byte("N1 G1 X10 E2.5 F1800*115\n")
	for range n {
		if _, err := p.Write(frame); err != nil {
			b.Fatal(err)
		}
		<-heard
	}
}

// pingPong is the least that can be done with the port.
func pingPong(b *testing.B, p io.ReadWriter, n int) {
	frame, room := []byte("N1 G1 X10 E2.5 F1800*115\n"), make([]byte, 64)
	for range n {
		if _, err := p.Write(frame); err != nil {
			b.Fatal(err)
		}
		for got := 0; ; {
			k, err := p.Read(room[got:])
			if err != nil {
				b.Fatal(err)
			}
			if got += k; got > 0 && room[got-1] == '\n' {
				break
			}
		}
	}
}

// sendAll sends n lines from two callers, so that the next line waits when an ok arrives.
func sendAll(b *testing.B, l *Line, n int) {
	work := make(chan struct{}, n)
	for range n {
		work <- struct{}{}
	}
	close(work)
	done := make(chan error, 2)
	for range 2 {
		go func() {
			for range work {
				if _, err := l.Send(b.Context(), "G1 X10 E2.5 F1800"); err != nil {
					done <- err
					return
				}
			}
			done <- nil
		}()
	}
	for range 2 {
		if err := <-done; err != nil {
			b.Fatal(err)
		}
	}
}
