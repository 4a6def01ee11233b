package port

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"golang.org/x/sys/unix"
)

// cable is a real pseudo-terminal: the test holds the far end, the code under test opens name.
type cable struct {
	far  *os.File
	name string
}

func newCable(t *testing.T) *cable {
	t.Helper()
	far, err := os.OpenFile("/dev/ptmx", os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Fatalf("open a pseudo-terminal: %v", err)
	}
	t.Cleanup(func() { far.Close() })
	fd := int(far.Fd())
	if err := unix.IoctlSetPointerInt(fd, unix.TIOCSPTLCK, 0); err != nil {
		t.Fatalf("unlock: %v", err)
	}
	number, err := unix.IoctlGetUint32(fd, unix.TIOCGPTN)
	if err != nil {
		t.Fatalf("number: %v", err)
	}
	return &cable{far: far, name: fmt.Sprintf("/dev/pts/%d", number)}
}

// linked gives the cable a stable name.
func (c *cable) linked(t *testing.T) string {
	t.Helper()
	link := filepath.Join(t.TempDir(), "printer")
	if err := os.Symlink(c.name, link); err != nil {
		t.Fatal(err)
	}
	return link
}

// hear reads n bytes at the far end.
func (c *cable) hear(t *testing.T, n int) string {
	t.Helper()
	got := make([]byte, 0, n)
	for len(got) < n {
		m, err := c.far.Read(got[len(got):n])
		if err != nil {
			t.Fatalf("far end: %v", err)
		}
		got = got[:len(got)+m]
	}
	return string(got)
}

func mustOpen(t *testing.T, name string, baud int, low ...Line) *conn {
	t.Helper()
	c, err := open(t.Context(), name, baud, low...)
	if err != nil {
		t.Fatalf("open %s: %v", name, err)
	}
	t.Cleanup(func() { c.Close() })
	return c
}

// asNobody runs f on a thread that has no rights of root, if it is root that runs the test.
func asNobody(t *testing.T, f func()) {
	t.Helper()
	if os.Geteuid() != 0 {
		f()
		return
	}
	runtime.LockOSThread() // never unlocked: a thread whose rights could not be given back ends with this goroutine
	const keep, nobody = ^uintptr(0), 65534
	if _, _, errno := unix.RawSyscall(unix.SYS_SETRESUID, keep, nobody, keep); errno != 0 {
		t.Fatalf("give up root: %v", errno)
	}
	defer func() {
		if _, _, errno := unix.RawSyscall(unix.SYS_SETRESUID, keep, 0, keep); errno != 0 {
			t.Errorf("become root again: %v", errno)
		}
	}()
	f()
}

func openFiles(t *testing.T) int {
	t.Helper()
	fds, err := os.ReadDir("/proc/self/fd")
	if err != nil {
		t.Fatal(err)
	}
	return len(fds)
}

func ended() context.Context {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	return ctx
}
