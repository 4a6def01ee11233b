package standin

import (
	"errors"
	"fmt"
	"os"
	"strconv"
	"sync"
	"sync/atomic"

	"golang.org/x/sys/unix"
)

// PTY is the printer's end of a pseudo-terminal. A host opens the other end by its name, as it would open a serial
// port, and may close and open it again. What is written while no host has it open is lost, as on a real line.
type PTY struct {
	master int
	opened openings
	wake   [2]int // a pipe that becomes readable when the PTY is closed
	slave  string
	travel *travel // nil: bytes take no time
	held   []byte  // of Read alone: bytes that came with the news of their host
	closed atomic.Bool
	inUse  sync.RWMutex // held for reading by whoever uses the descriptors
}

// OpenPTY makes a pseudo-terminal in raw mode, so that nothing is echoed before a host has set its own.
func OpenPTY() (*PTY, error) { return OpenPacedPTY(Pace{}) }

// OpenPacedPTY makes one whose bytes take the time that they take on a wire.
func OpenPacedPTY(pace Pace) (*PTY, error) {
	master, err := unix.Open("/dev/ptmx", unix.O_RDWR|unix.O_NOCTTY|unix.O_CLOEXEC|unix.O_NONBLOCK, 0)
	if err != nil {
		return nil, fmt.Errorf("open a pseudo-terminal: %w", err)
	}
	p := &PTY{master: master, wake: [2]int{-1, -1}, travel: newTravel(pace)}
	p.opened.fd = -1
	if err := p.prepare(); err != nil {
		return nil, errors.Join(fmt.Errorf("prepare a pseudo-terminal: %w", err), p.release())
	}
	return p, nil
}

func (p *PTY) prepare() error {
	if err := unix.IoctlSetPointerInt(p.master, unix.TIOCSPTLCK, 0); err != nil {
		return err
	}
	number, err := unix.IoctlGetInt(p.master, unix.TIOCGPTN)
	if err != nil {
		return err
	}
	p.slave = "/dev/pts/" + strconv.Itoa(number)
	if err := makeRaw(p.master); err != nil {
		return err
	}
	if err := unix.Pipe2(p.wake[:], unix.O_CLOEXEC|unix.O_NONBLOCK); err != nil {
		return err
	}
	if err := touch(p.slave); err != nil {
		return err
	}
	return p.opened.begin(p.slave)
}

// touch opens and closes the host's end once: only then does the kernel say "hung up" while no host has it open.
func touch(slave string) error {
	fd, err := unix.Open(slave, unix.O_RDWR|unix.O_NOCTTY|unix.O_CLOEXEC, 0)
	if err != nil {
		return err
	}
	return unix.Close(fd)
}

// Name is the device a host opens.
func (p *PTY) Name() string { return p.slave }

// Close unplugs it. A Read or Write under way ends with os.ErrClosed, and so does every later one.
func (p *PTY) Close() error {
	if p.closed.Swap(true) {
		return nil
	}
	if _, err := unix.Write(p.wake[1], []byte{0}); err != nil {
		return fmt.Errorf("close %s: %w", p.slave, err)
	}
	p.inUse.Lock() // no descriptor may be closed, and its number given away, under a Read
	defer p.inUse.Unlock()
	return p.release()
}

func (p *PTY) release() error {
	var all error
	for _, fd := range []int{p.master, p.opened.fd, p.wake[0], p.wake[1]} {
		if fd >= 0 {
			all = errors.Join(all, unix.Close(fd))
		}
	}
	return all
}

// use lets f work on the descriptors, unless the PTY is closed.
func (p *PTY) use(f func() (int, error)) (int, error) {
	p.inUse.RLock()
	defer p.inUse.RUnlock()
	if p.closed.Load() {
		return 0, os.ErrClosed
	}
	return f()
}
