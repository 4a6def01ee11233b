package port

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"golang.org/x/sys/unix"
)

// lockDevice keeps a second program of ours off the device, which the kernel does not where that one runs as root. The
// lock is the kernel's, on an open file: it ends with the process, whatever way that ends. The empty file stays, since
// deleting it would let two openers lock two files of one name.
func lockDevice(dir, path string) (*os.File, error) {
	name := filepath.Join(dir, "fettle"+strings.ReplaceAll(path, "/", "-")+".lock")
	f, err := openLockFile(name)
	if err != nil {
		return nil, fmt.Errorf("open the lock %s: %w", name, err)
	}
	err = unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	switch {
	case err == nil:
		return f, nil
	case errors.Is(err, unix.EWOULDBLOCK):
		f.Close()
		return nil, fmt.Errorf("%w: the lock %s is held", ErrOccupied, name)
	}
	f.Close()
	return nil, fmt.Errorf("take the lock %s: %w", name, err)
}

// openLockFile opens the file for reading, which is enough to lock it, and makes it only if there is none: in a folder
// that all may write to, the kernel refuses to "create" what another user made. A link in its place is not followed.
func openLockFile(name string) (*os.File, error) {
	const look = os.O_RDONLY | unix.O_NOFOLLOW | unix.O_NONBLOCK
	f, err := os.OpenFile(name, look, 0)
	if !errors.Is(err, fs.ErrNotExist) {
		return f, err
	}
	f, err = os.OpenFile(name, look|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) { // another one was faster
		return os.OpenFile(name, look, 0)
	}
	if err != nil {
		return nil, err
	}
	_ = f.Chmod(0o644) // past a strict umask, so that another user's program can lock it; if not, it says so itself
	return f, nil
}
