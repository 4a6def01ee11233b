package port

import (
	"context"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"go.bug.st/serial"
)

// DefaultBaud is the speed where none is given, bits/s (common practice, no source; 250000 is the other usual one).
const DefaultBaud = 115200

// The slowest and fastest speed that is asked of a port, bits/s. 2,000,000 is the most that common bridges do (from memory).
const (
	minBaud = 1200
	maxBaud = 2_000_000
)

// Open opens the port called name, a device or a link to one, at baud bits/s (0: DefaultBaud), 8 data bits, no parity.
// It is an action on the machine and no look: the lines DTR and RTS are raised, and many boards restart on that. Those
// named in low are lowered again at once, which a board may see as a pulse.
// Errors: ErrMissing, ErrOccupied, ErrNotPermitted, ErrNotAPort, ErrBaud, or the context's own.
func Open(ctx context.Context, name string, baud int, low ...Line) (io.ReadWriteCloser, error) {
	c, err := open(ctx, name, baud, low...)
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", name, err)
	}
	return c, nil
}

func open(ctx context.Context, name string, baud int, low ...Line) (*conn, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if baud == 0 {
		baud = DefaultBaud
	}
	if baud < minBaud || baud > maxBaud {
		return nil, fmt.Errorf("%w: %d bits/s; accepted: %d to %d", ErrBaud, baud, minBaud, maxBaud)
	}
	path, err := resolve(name)
	if err != nil {
		return nil, err
	}
	held, err := lockDevice(path)
	if err != nil {
		return nil, err
	}
	dev, err := openHeld(path, baud, low)
	if err != nil {
		held.Close()
		return nil, err
	}
	c := newConn(name, dev, held)
	if err := ctx.Err(); err != nil { // whoever asked is gone: nobody would close it
		c.Close()
		return nil, err
	}
	return c, nil
}

// openHeld opens a device that is locked already.
func openHeld(path string, baud int, low []Line) (serial.Port, error) {
	dev, err := serial.Open(path, &serial.Mode{BaudRate: baud, DataBits: 8})
	if err != nil {
		return nil, inOurTerms(path, err)
	}
	if err := lower(dev, low); err != nil {
		dev.Close()
		return nil, err
	}
	return dev, nil
}

// resolve follows the links of a stable name, so that the lock and the open mean the same device even if a link is
// turned meanwhile. What is no character device is not opened at all.
func resolve(name string) (string, error) {
	path, err := filepath.EvalSymlinks(name)
	if err != nil {
		return "", inOurTerms(name, err)
	}
	info, err := os.Stat(path)
	if err != nil {
		return "", inOurTerms(path, err)
	}
	if info.Mode()&fs.ModeCharDevice == 0 {
		return "", fmt.Errorf("%w: %s is no character device", ErrNotAPort, path)
	}
	return path, nil
}
