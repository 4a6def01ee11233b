package standin

import (
	"errors"
	"os"
	"time"

	"golang.org/x/sys/unix"
)

// Way is a direction on a cable.
type Way int

// The two ways.
const (
	FromHost Way = iota
	ToHost
)

// PullAfter lets this cable be pulled out once n more bytes have gone one way; of those behind them none does. Replug
// plugs it in again. A later call for the same way takes the place of an earlier one; n below 0 takes it back.
func (c *Cable) PullAfter(way Way, n int64) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.pull[way] = n + 1
}

// pass counts bytes that want to go one way. It tells how many may, and whether the cable is pulled behind them.
func (c *Cable) pass(way Way, bytes int) (int, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	left := &c.pull[way]
	if *left <= 0 || bytes == 0 {
		return bytes, false
	}
	may := int(min(*left-1, int64(bytes)))
	*left -= int64(may)
	if *left > 1 {
		return may, false
	}
	*left = 0
	return may, true
}

// strained is a pseudo-terminal on a cable that may be pulled in the middle.
type strained struct {
	*PTY
	cable *Cable
}

func (s strained) Read(b []byte) (int, error) {
	n, err := s.PTY.Read(b)
	may, pulled := s.cable.pass(FromHost, n)
	if pulled {
		err = errors.Join(err, s.cable.Unplug())
	}
	return may, err
}

func (s strained) Write(b []byte) (int, error) {
	may, pulled := s.cable.pass(ToHost, len(b))
	n, err := s.PTY.Write(b[:may])
	if !pulled || err != nil {
		return n, err
	}
	if err := errors.Join(s.PTY.drain(), s.cable.Unplug()); err != nil {
		return n, err
	}
	return n, os.ErrClosed
}

// drain waits until the host has read everything, for one that does not at most a second: what it has not read when the
// line ends is lost.
func (p *PTY) drain() error {
	const most, step = 1000, time.Millisecond
	_, err := p.use(func() (int, error) {
		if p.hungUp() {
			return 0, nil
		}
		host, err := unix.Open(p.slave, unix.O_RDWR|unix.O_NOCTTY|unix.O_CLOEXEC, 0)
		if err != nil {
			return 0, err
		}
		defer unix.Close(host)
		for range most {
			if !readable(host) {
				return 0, nil
			}
			if err := p.rest(step); err != nil {
				return 0, err
			}
		}
		return 0, nil
	})
	return err
}

// readable tells whether bytes wait at the host's end. To look by poll makes the kernel first bring there what is still
// on its way; to ask for their number would not.
func readable(host int) bool {
	fds := []unix.PollFd{{Fd: int32(host), Events: unix.POLLIN}}
	_, err := unix.Poll(fds, 0)
	return err != nil || fds[0].Revents&unix.POLLIN != 0
}
