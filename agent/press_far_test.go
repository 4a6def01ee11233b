package main

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"fettle/serialio/standin"
)

// farEnd is a stand-in printer whose pseudo-terminal is watched: each line is noted with the moment at which it could be
// read there. On its way on to the printer a line can be damaged, so that the printer itself asks for it again each
// time, or be lost, so that it is never answered. Both end with the next heaters-off.
type farEnd struct {
	*standin.PTY
	open  []byte // a line that has not ended
	ready []byte // what the printer has not read yet

	mu    sync.Mutex
	spoil string        // this block arrives damaged
	lose  string        // and this one not at all
	held  bool          // the printer does not even see what arrives
	kept  []byte        // what it has not seen
	off   chan struct{} // closed when the heaters are told to go off
	heard []frame
	grew  chan struct{} // closed at the next line
}

// frame is one line as it arrived, number and checksum taken off.
type frame struct {
	number string
	block  string
	at     time.Time
}

func (f frame) String() string { return strconv.Quote(f.number + " " + f.block) }

// sets reports whether it sets the line number.
func (f frame) sets() bool { return strings.HasPrefix(f.block, "M110 N") }

// follows reports whether it is the line that comes behind one that set the number.
func (f frame) follows(set frame) bool {
	mine, err := strconv.Atoi(f.number)
	number, bad := strconv.Atoi(strings.TrimPrefix(set.block, "M110 N"))
	return err == nil && bad == nil && mine == number+1
}

// newFarEnd switches a stand-in on, in real time, until the test has ended.
func newFarEnd(t *testing.T) *farEnd {
	t.Helper()
	pty, err := standin.OpenPTY()
	if err != nil {
		t.Fatal(err)
	}
	profile := demoProfile()
	profile.ResetsOnOpen, profile.Greets, profile.BootTime = false, false, -1
	f := &farEnd{PTY: pty, grew: make(chan struct{}), off: make(chan struct{})}
	ctx, unplug := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- standin.NewPrinter(profile, 1).Serve(ctx, f) }() // ends with unplug
	t.Cleanup(func() {
		unplug()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	return f
}

// Read gives the printer whole lines. One goroutine reads.
func (f *farEnd) Read(b []byte) (int, error) {
	for len(f.ready) == 0 {
		var room [256]byte
		n, err := f.PTY.Read(room[:])
		f.hear(time.Now(), room[:max(n, 0)])
		if err != nil {
			return 0, err
		}
	}
	n := copy(b, f.ready)
	f.ready = f.ready[n:]
	return n, nil
}

func (f *farEnd) hear(at time.Time, read []byte) {
	f.mu.Lock()
	defer f.mu.Unlock()
	for _, c := range read {
		if f.open = append(f.open, c); c == '\n' {
			f.line(at, string(f.open))
			f.open = f.open[:0]
		}
	}
}

// line notes one line and lets it through, or not. The lock is held.
func (f *farEnd) line(at time.Time, line string) {
	block, _, _ := strings.Cut(strings.TrimSpace(line), "*")
	number := ""
	if strings.HasPrefix(block, "N") {
		number, block, _ = strings.Cut(block[1:], " ")
	}
	f.heard = append(f.heard, frame{number, block, at})
	close(f.grew)
	f.grew = make(chan struct{})
	switch block {
	case nozzleOff:
		f.calm()
	case f.spoil:
		line = strings.Replace(line, block, block[:len(block)-1]+"?", 1) // as noise does it: the checksum fails
	case f.lose:
		return
	}
	if f.held {
		f.kept = append(f.kept, line...)
		return
	}
	f.ready = append(f.ready, line...)
}

const nozzleOff = "M104 S0"

// calm ends what was chosen. The lock is held.
func (f *farEnd) calm() {
	f.ready, f.kept = append(f.ready, f.kept...), nil
	f.spoil, f.lose, f.held = "", "", false
	select {
	case <-f.off:
	default:
		close(f.off)
	}
}

// disturb chooses what becomes of two blocks until the heaters are told to go off, and returns the place in what was
// heard.
func (f *farEnd) disturb(spoil, lose string) (place int) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.spoil, f.lose, f.off = spoil, lose, make(chan struct{})
	return len(f.heard)
}

// hold keeps the printer from hearing, and so from answering, until the heaters are told to go off: what is written
// behind this place was either on its way or is written unasked.
func (f *farEnd) hold() (place int) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.held = true
	return len(f.heard)
}

// since is what was heard from a place on, and what closes when there is more.
func (f *farEnd) since(place int) ([]frame, <-chan struct{}) {
	f.mu.Lock()
	defer f.mu.Unlock()
	return slices.Clone(f.heard[place:]), f.grew
}

// await waits until a block has been heard so often behind a place, and returns the last of them.
func (f *farEnd) await(ctx context.Context, place int, block string, times int) (frame, error) {
	for {
		heard, more := f.since(place)
		seen := 0
		for _, h := range heard {
			if h.block != block {
				continue
			}
			if seen++; seen == times {
				return h, nil
			}
		}
		select {
		case <-more:
		case <-ctx.Done():
			return frame{}, fmt.Errorf("%s was not heard %d times: %v", block, times, heard)
		}
	}
}

// nag asks for a line as fast as 115,200 baud would let it, until the heaters are told to go off. It tells when it has
// asked so many times, and when it cannot.
func (f *farEnd) nag(number string, times int) <-chan error {
	f.mu.Lock()
	off := f.off
	f.mu.Unlock()
	told := make(chan error, 2)
	go func() { // ends when the heaters are told to go off
		tick := time.NewTicker(time.Millisecond)
		defer tick.Stop()
		for n := 1; ; n++ {
			if _, err := f.Write([]byte("Resend: " + number + "\n")); err != nil {
				told <- fmt.Errorf("ask for line %s: %w", number, err)
				return
			}
			if n == times {
				told <- nil
			}
			select {
			case <-tick.C:
			case <-off:
				return
			}
		}
	}()
	return told
}
