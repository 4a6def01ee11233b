package serialio

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"fettle/serialio/port"
)

// plugsOf is how many rounds are made: a few, or all with SERIALIO_PLUGS=all.
func plugsOf(few, all int) int {
	if os.Getenv("SERIALIO_PLUGS") == "all" {
		return all
	}
	return few
}

// haste is how much faster than real time the lines below run.
const haste = 1000

// socket is a port that a pseudo-terminal can be plugged into again and again, under one stable name.
type socket struct {
	t      testing.TB
	name   string
	far    *os.File
	pullAt atomic.Int64  // pulls the plug at this byte of the next line; 0: never
	pulled time.Time     // when it did; read after ended
	ended  chan struct{} // closed when the printer at the far end has ended
}

func newSocket(t testing.TB) *socket {
	return &socket{t: t, name: filepath.Join(t.TempDir(), "printer")}
}

// plug plugs in a printer that has just started.
func (s *socket) plug() {
	s.t.Helper()
	far, device := openPTY(s.t)
	s.far, s.ended = far, make(chan struct{})
	if err := errors.Join(os.Symlink(device, s.name+".next"), os.Rename(s.name+".next", s.name)); err != nil {
		s.t.Fatal(err)
	}
	go func() { // ends when the far end is closed
		defer close(s.ended)
		s.serve(far)
	}()
}

// pull takes the name away and hangs up, as a USB plug does.
func (s *socket) pull() {
	os.Remove(s.name)
	s.far.Close()
}

// serve answers line by line. It reads byte by byte, so that a pull comes at exactly its byte.
func (s *socket) serve(far *os.File) {
	var b board
	var line []byte
	one := make([]byte, 1)
	for {
		if _, err := far.Read(one); err != nil {
			return
		}
		line = append(line, one[0])
		if int64(len(line)) == s.pullAt.Load() {
			s.pulled = time.Now()
			s.pull()
			return
		}
		if one[0] == '\n' {
			if _, err := io.WriteString(far, answerTo(&b, string(line))); err != nil {
				return
			}
			line = line[:0]
		}
	}
}

// runHasty runs a line on the socket until what it returns is called.
func (s *socket) runHasty() (*Line, func()) {
	ctx, cancel := context.WithCancel(context.Background())
	l := New(Config{Speedup: haste, Open: func(ctx context.Context) (io.ReadWriteCloser, error) { return port.Open(ctx, s.name, 0) }})
	ended := make(chan error, 1)
	go func() { ended <- l.Run(ctx) }() // ends with ctx
	return l, func() { cancel(); <-ended }
}

// TestUnplugAtEveryByte pulls the plug at each byte of a line of 40 bytes, over and over, one line's port for each byte.
// Each time the caller is told that the port is gone, and the line is not sent again when the port is back.
func TestUnplugAtEveryByte(t *testing.T) {
	const bytes = 40
	roundsEach := plugsOf(5, 25)
	noticed := make(chan time.Duration, bytes*roundsEach)
	var all sync.WaitGroup
	for at := range bytes {
		s := newSocket(t)
		all.Go(func() { // ends with its rounds
			l, stop := s.runHasty()
			defer stop()
			for range roundsEach {
				s.unplugAt(l, bytes, at+1, noticed)
			}
		})
	}
	all.Wait()
	close(noticed)
	took := slices.Sorted(func(yield func(time.Duration) bool) {
		for d := range noticed {
			if !yield(d) {
				return
			}
		}
	})
	if len(took) != bytes*roundsEach {
		t.Fatalf("%d of %d unplugs noticed", len(took), bytes*roundsEach)
	}
	t.Logf("%d of %d unplugs noticed; median %v, p99 %v, worst %v", len(took), bytes*roundsEach,
		took[len(took)/2], took[len(took)*99/100], took[len(took)-1])
}

// unplugAt plugs in, sends a line of so many bytes, pulls the plug at one of them, and reports how long after that the
// caller was told.
func (s *socket) unplugAt(l *Line, bytes, at int, noticed chan<- time.Duration) {
	s.pullAt.Store(0)
	s.plug()
	waitFor(s.t, l, Listening)
	before := l.Wire().Since(0)
	block := blockMaking(s.t, bytes, before)
	s.pullAt.Store(int64(at))
	_, err := l.Send(s.t.Context(), block)
	told := time.Now()
	if !errors.Is(err, ErrUnplugged) {
		s.t.Errorf("byte %d: %v", at, err)
		s.pull()
		return
	}
	<-s.ended
	noticed <- told.Sub(s.pulled)
	waitFor(s.t, l, Unplugged)
	sent := l.Wire().Since(before[len(before)-1].N)
	if len(sent) != 1 || len(sent[0].Text)+1 != bytes {
		s.t.Errorf("byte %d: sent %+v", at, sent)
	}
}

// blockMaking is a block whose frame will have so many bytes, number, checksum and line feed included, after what was sent.
func blockMaking(t testing.TB, bytes int, sent []WireLine) string {
	t.Helper()
	number := -1
	for _, line := range sent {
		var n int
		if _, err := fmt.Sscanf(line.Text, "N%d ", &n); err == nil && line.Out {
			number = n
		}
	}
	for digits := range 20 {
		for last := range 200 { // the length of the sum depends on what is summed up
			block := fmt.Sprintf("G1 X110.25 Y95.5 %c0.%s%02d", "EZ"[last%2], strings.Repeat("1", digits), last/2)
			frame := fmt.Sprintf("N%d %s", number+1, block)
			sum := byte(0)
			for i := range len(frame) {
				sum ^= frame[i]
			}
			if len(fmt.Sprintf("%s*%d\n", frame, sum)) == bytes {
				return block
			}
		}
	}
	t.Fatalf("no block makes %d bytes behind line %d", bytes, number)
	return ""
}

// TestPlugCyclesLeakNothing plugs in and pulls the ports of a few lines over and over, all at once.
func TestPlugCyclesLeakNothing(t *testing.T) {
	const lines = 50
	cyclesEach := plugsOf(4, 200)
	files, goroutines := openFilesOf(t), runtime.NumGoroutine()
	var all sync.WaitGroup
	for range lines {
		s := newSocket(t)
		all.Go(func() { s.cycle(cyclesEach) }) // ends with its cycles
	}
	all.Wait()
	t.Logf("%d plug cycles: %d files open before, %d after; %d goroutines before, %d after",
		lines*cyclesEach, files, openFilesOf(t), goroutines, runtime.NumGoroutine())
	if after := openFilesOf(t); after > files {
		t.Errorf("%d files open before, %d after", files, after)
	}
	if after := runtime.NumGoroutine(); after > goroutines {
		t.Errorf("%d goroutines before, %d after", goroutines, after)
	}
}

// cycle runs a line and plugs its port in and pulls it so many times.
func (s *socket) cycle(times int) {
	l, stop := s.runHasty()
	defer stop()
	for range times {
		s.plug()
		waitFor(s.t, l, Listening)
		s.pull()
		<-s.ended
		waitFor(s.t, l, Unplugged)
	}
}

func openFilesOf(t testing.TB) int {
	t.Helper()
	fds, err := os.ReadDir("/proc/self/fd")
	if err != nil {
		t.Fatal(err)
	}
	return len(fds)
}
