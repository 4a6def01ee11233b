package port

import (
	"errors"
	"fmt"

	"golang.org/x/sys/unix"
)

// A lock keeps a second program of ours off a device, which the kernel's own exclusion (TIOCEXCL, which the library
// sets) does not where that program runs as root. It is the kernel's lock on the device node itself: it ends with the
// process, whatever way that ends, and it is the same one for programs that have a /tmp of their own, as services have.
type lock int // a descriptor

// lockDevice opens the device to lock it. That is the one opening of the port that raises DTR and RTS; the library's
// own comes while it is open already.
func lockDevice(path string) (lock, error) {
	fd, err := unix.Open(path, unix.O_RDONLY|unix.O_NOCTTY|unix.O_NONBLOCK|unix.O_CLOEXEC, 0)
	if err != nil {
		return -1, inOurTerms(path, err)
	}
	err = unix.Flock(fd, unix.LOCK_EX|unix.LOCK_NB)
	if err == nil {
		return lock(fd), nil
	}
	unix.Close(fd)
	if errors.Is(err, unix.EWOULDBLOCK) {
		return -1, fmt.Errorf("%w: it holds the lock on %s", ErrOccupied, path)
	}
	return -1, fmt.Errorf("lock %s: %w", path, err)
}

func (l lock) Close() error { return unix.Close(int(l)) }
