package standin

import (
	"bytes"
	"os"
	"time"

	"golang.org/x/sys/unix"
)

// travel is a pseudo-terminal's pace: what is on its way, and the clock it goes by.
type travel struct {
	begun time.Time
	down  road // from the host; of Read alone
	up    lane // to the host; of Write alone
}

func newTravel(p Pace) *travel {
	if p.none() {
		return nil
	}
	return &travel{begun: time.Now(), down: newRoad(p), up: lane{baud: p.Baud}}
}

func (t *travel) now() time.Duration { return time.Since(t.begun) }

// readPaced is Read where bytes take time. What arrives meanwhile is taken on as soon as it does, so that its time is
// counted from when it was sent.
func (p *PTY) readPaced(b []byte) (int, error) {
	t := p.travel
	for {
		if len(p.held) > 0 {
			t.down.send(t.now(), p.held)
			p.held = nil
		}
		if n := t.down.receive(t.now(), b); n > 0 || len(b) == 0 {
			return n, nil
		}
		until := forever
		if at, any := t.down.due(); any {
			until = at - t.now()
		}
		if t.down.full() {
			if err := p.rest(until); err != nil {
				return 0, err
			}
			continue
		}
		if err := p.wait(unix.POLLIN, until); err != nil {
			return 0, err
		}
		n, err := p.take(b)
		t.down.send(t.now(), b[:n])
		if !passing(err) {
			return 0, err
		}
	}
}

// writePaced is Write where bytes take time: each line reaches the host when its last byte does.
func (p *PTY) writePaced(b []byte) (int, error) {
	t, written, host := p.travel, 0, p.opened.number.Load()
	for line := range bytes.SplitAfterSeq(b, []byte{'\n'}) {
		if p.opened.number.Load() != host {
			break
		}
		at := t.up.carry(t.now(), len(line))
		if err := p.rest(at - t.now()); err != nil {
			return written, err
		}
		n, err := p.writeNow(line)
		written += n
		if err != nil {
			return written, err
		}
	}
	return len(b), nil
}

// rest lets time pass; it ends early when the PTY is closed. The kernel's timer is finer than the runtime's, which
// rounds to a millisecond while it waits for descriptors.
func (p *PTY) rest(d time.Duration) error {
	for end := time.Now().Add(d); ; {
		left := time.Until(end)
		if left <= 0 {
			return nil
		}
		if err := poll([]unix.PollFd{{Fd: int32(p.wake[0]), Events: unix.POLLIN}}, left); err != nil {
			return err
		}
		if p.closed.Load() {
			return os.ErrClosed
		}
	}
}

// forever is longer than any wait.
const forever = time.Duration(-1)

// poll waits for descriptors; a signal ends it early.
func poll(fds []unix.PollFd, timeout time.Duration) error {
	var limit *unix.Timespec
	if timeout >= 0 {
		t := unix.NsecToTimespec(int64(timeout))
		limit = &t
	}
	if _, err := unix.Ppoll(fds, limit, nil); !passing(err) {
		return err
	}
	return nil
}
