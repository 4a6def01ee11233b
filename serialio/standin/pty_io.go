package standin

import (
	"errors"
	"os"
	"time"

	"golang.org/x/sys/unix"
)

// Read waits for bytes of the host. When a host opens the line it returns errHostOpened instead, before any byte that
// this host has sent. One goroutine reads.
func (p *PTY) Read(b []byte) (int, error) {
	return p.use(func() (int, error) {
		if p.travel != nil {
			return p.readPaced(b)
		}
		for len(p.held) == 0 {
			if err := p.wait(unix.POLLIN, forever); err != nil {
				return 0, err
			}
			n, err := p.take(b)
			if n > 0 || !passing(err) {
				return n, err
			}
		}
		n := copy(b, p.held)
		p.held = p.held[n:]
		return n, nil
	})
}

// take reads what is there. The openings are looked at after the bytes, since a host can open and write in between.
func (p *PTY) take(b []byte) (int, error) {
	n, err := unix.Read(p.master, b)
	opened, closed := p.opened.news()
	if closed {
		p.forget()
	}
	if !opened {
		return max(n, 0), err
	}
	p.held = append(p.held, b[:max(n, 0)]...)
	return 0, errHostOpened
}

// again is how often a blocked write is tried: the kernel does not tell when unread bytes were thrown away.
const again = 20 * time.Millisecond

// Write gives bytes to the host, and waits while it does not read. Without a host they are lost; what one host has not
// taken, the next does not get.
func (p *PTY) Write(b []byte) (int, error) {
	return p.use(func() (int, error) {
		if p.travel != nil {
			return p.writePaced(b)
		}
		return p.writeNow(b)
	})
}

func (p *PTY) writeNow(b []byte) (int, error) {
	host := p.opened.number.Load()
	for written := 0; written < len(b); {
		if p.hungUp() || p.opened.number.Load() != host {
			break
		}
		n, err := unix.Write(p.master, b[written:])
		written += max(n, 0)
		if err == nil {
			continue
		}
		if !passing(err) {
			return written, err
		}
		if err := p.wait(unix.POLLOUT, again); err != nil {
			return written, err
		}
	}
	return len(b), nil
}

// passing tells whether an error only means "not now": no bytes, no host, a signal.
func passing(err error) bool {
	return err == nil || errors.Is(err, unix.EAGAIN) || errors.Is(err, unix.EIO) || errors.Is(err, unix.EINTR)
}

// wait blocks until the line can be read or written, a host opens or closes it, the PTY is closed, or time is up.
func (p *PTY) wait(want int16, timeout time.Duration) error {
	fds := []unix.PollFd{{Fd: int32(p.wake[0]), Events: unix.POLLIN}}
	if want == unix.POLLIN {
		fds = append(fds, unix.PollFd{Fd: int32(p.opened.fd), Events: unix.POLLIN})
	}
	if !p.hungUp() { // a hung-up line is always "ready", and would spin
		fds = append(fds, unix.PollFd{Fd: int32(p.master), Events: want})
	}
	err := poll(fds, timeout)
	if p.closed.Load() {
		return os.ErrClosed
	}
	return err
}

// hungUp tells whether no host has the line open.
func (p *PTY) hungUp() bool {
	fds := []unix.PollFd{{Fd: int32(p.master)}}
	_, err := unix.Poll(fds, 0)
	return err == nil && fds[0].Revents&unix.POLLHUP != 0
}
