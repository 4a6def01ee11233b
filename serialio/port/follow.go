package port

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"time"

	"golang.org/x/sys/unix"
)

const (
	// settleDown is how long after the first sign of a change the ports are looked at: the node comes first, its links
	// a moment later. It also bounds the looks, to five a second, however much is plugged.
	settleDown = 200 * time.Millisecond
	// lookEvery is how often the ports are looked at where the kernel does not tell of changes.
	lookEvery = time.Second
)

// Follow calls tell with what is plugged in, at once and after each change, until ctx ends. It sleeps in the kernel
// while nothing happens. The names in extra are those of List.
func Follow(ctx context.Context, tell func([]Found), extra ...string) error {
	return follow(ctx, systemRoots(), tell, extra)
}

func follow(ctx context.Context, r roots, tell func([]Found), extra []string) error {
	var news waiter = everySecond{}
	if w, err := watchFolders(r, extra); err == nil {
		defer w.Close()
		news = w
	}
	var before []Found
	for first := true; ; first = false {
		news.renew() // before looking, so that nothing is missed
		now, err := list(ctx, r, extra)
		if ctx.Err() != nil {
			return nil
		}
		if err != nil {
			return fmt.Errorf("follow the ports: %w", err)
		}
		if first || !slices.Equal(now, before) {
			before = now
			tell(now)
		}
		if err := news.wait(ctx); err != nil {
			return fmt.Errorf("follow the ports: %w", err)
		}
		if ctx.Err() != nil {
			return nil
		}
	}
}

// waiter waits until the ports are worth a look, or ctx ends.
type waiter interface {
	renew()
	wait(ctx context.Context) error
}

// everySecond is for a kernel that has no more watches to give.
type everySecond struct{}

func (everySecond) renew()                         {}
func (everySecond) wait(ctx context.Context) error { pause(ctx, lookEvery); return nil }

func pause(ctx context.Context, d time.Duration) {
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-timer.C:
	case <-ctx.Done():
	}
}

// watched is the folders in which ports come and go, as inotify(7) tells of them.
type watched struct {
	*os.File
	folders []string
}

// watchFolders watches the folder of device nodes, those of the stable names, which are there while something is
// plugged in, and those of the names in extra.
func watchFolders(r roots, extra []string) (*watched, error) {
	fd, err := unix.InotifyInit1(unix.IN_NONBLOCK | unix.IN_CLOEXEC)
	if err != nil {
		return nil, fmt.Errorf("watch %s: %w", r.dev, err)
	}
	w := &watched{os.NewFile(uintptr(fd), "inotify"), []string{r.dev, filepath.Dir(r.byID()), r.byID(), r.byPath()}}
	for _, name := range extra {
		w.folders = append(w.folders, filepath.Dir(name))
	}
	if err := w.add(r.dev); err != nil {
		w.Close()
		return nil, fmt.Errorf("watch %s: %w", r.dev, err)
	}
	return w, nil
}

func (w *watched) add(folder string) error {
	raw, err := w.SyscallConn() // Fd would make its reads block, and Close would no longer end them
	if err != nil {
		return err
	}
	var adding error
	err = raw.Control(func(fd uintptr) {
		_, adding = unix.InotifyAddWatch(int(fd), folder,
			unix.IN_CREATE|unix.IN_DELETE|unix.IN_MOVED_FROM|unix.IN_MOVED_TO|unix.IN_ONLYDIR)
	})
	return errors.Join(err, adding)
}

// renew watches again what has come back since. One that is watched already stays so; one that is not there will be
// told of by the folder above.
func (w *watched) renew() {
	for _, folder := range w.folders {
		_ = w.add(folder)
	}
}

// wait sleeps until something changes in a folder, and then until the change has settled down.
func (w *watched) wait(ctx context.Context) error {
	release := context.AfterFunc(ctx, func() { _ = w.SetReadDeadline(time.Unix(1, 0)) })
	defer release()
	events := make([]byte, 16<<10) // what they say does not matter
	if _, err := w.Read(events); err != nil && ctx.Err() == nil {
		return err
	}
	pause(ctx, settleDown)
	if err := w.SetReadDeadline(time.Unix(1, 0)); err != nil {
		return err
	}
	_, _ = w.Read(events) // those that came meanwhile are settled as well
	if ctx.Err() != nil {
		return nil
	}
	return w.SetReadDeadline(time.Time{})
}
