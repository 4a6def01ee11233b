package standin

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
)

// Cable plugs a printer into the computer: a pseudo-terminal, and a symbolic link to it whose name stays the same when
// it is pulled out and plugged in again, as the names under /dev/serial/by-id do.
type Cable struct {
	link string
	pace Pace

	mu      sync.Mutex
	pull    [2]int64      // per Way: one more than the bytes until the cable is pulled; 0: it is not
	pty     *PTY          // nil while unplugged
	plugged chan struct{} // closed at the next Replug
}

// NewCable makes dir/name and plugs it in.
func NewCable(dir, name string) (*Cable, error) { return NewPacedCable(dir, name, Pace{}) }

// NewPacedCable makes one on which bytes take the time that they take on a wire, through any number of pulls.
func NewPacedCable(dir, name string, pace Pace) (*Cable, error) {
	c := &Cable{link: filepath.Join(dir, name), pace: pace, plugged: make(chan struct{})}
	if err := c.Replug(); err != nil {
		return nil, err
	}
	return c, nil
}

// Name is the stable name, to be opened as a serial port.
func (c *Cable) Name() string { return c.link }

// Run serves the printer at the end of this cable until ctx ends, through any number of pulls. It is not to be run
// twice at a time.
func (c *Cable) Run(ctx context.Context, p *Printer) error {
	for {
		pty, plugged := c.now()
		if pty == nil {
			select {
			case <-ctx.Done():
				return nil
			case <-plugged:
				continue
			}
		}
		err := p.serve(ctx, strained{pty, c})
		if errors.Is(err, os.ErrClosed) {
			err = nil // the cable was pulled out
		}
		if ctx.Err() != nil {
			return errors.Join(err, c.Unplug())
		}
		if err != nil {
			return fmt.Errorf("serve %s: %w", c.link, err)
		}
		c.dropped(pty)
	}
}

func (c *Cable) now() (*PTY, chan struct{}) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.pty, c.plugged
}

// dropped forgets a pseudo-terminal that has ended.
func (c *Cable) dropped(pty *PTY) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.pty == pty {
		c.pty = nil
	}
}

// Unplug pulls the cable out: the host's reads end, the name is gone. The printer stays on. Twice is once.
func (c *Cable) Unplug() error {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.pty == nil {
		return nil
	}
	pty := c.pty
	c.pty = nil
	if err := errors.Join(remove(c.link), pty.Close()); err != nil {
		return fmt.Errorf("unplug %s: %w", c.link, err)
	}
	return nil
}

// remove is content if somebody else was faster.
func remove(name string) error {
	if err := os.Remove(name); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	return nil
}

// Replug plugs the cable in again: another device, the same name. Plugged in already it does nothing.
func (c *Cable) Replug() error {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.pty != nil {
		return nil
	}
	pty, err := OpenPacedPTY(c.pace)
	if err != nil {
		return fmt.Errorf("plug in %s: %w", c.link, err)
	}
	if err := point(c.link, pty.Name()); err != nil {
		return errors.Join(fmt.Errorf("plug in %s: %w", c.link, err), pty.Close())
	}
	c.pty = pty
	close(c.plugged)
	c.plugged = make(chan struct{})
	return nil
}

// point makes link lead to device in one step, whatever it led to before.
func point(link, device string) error {
	next := link + ".next"
	if err := remove(next); err != nil {
		return err
	}
	if err := os.Symlink(device, next); err != nil {
		return err
	}
	return os.Rename(next, link)
}
