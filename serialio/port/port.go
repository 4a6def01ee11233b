// Package port is the door to the serial port: it opens one by its stable name, lists what is plugged in, and tells
// when that changes.
//
// Owns: go.bug.st/serial, the lock that keeps a second opener out, and the words for what can go wrong with a port.
// Guarantees: a blocked Read ends at Close; a short write is finished; no write begins after Close; whether a port
// vanished or was closed by us is told apart.
// Does not do: time limits, line ends, G-code. A write to a device that stopped reading may block for ever, and Close
// does not always free it: whoever writes does so in a goroutine of its own and can give that goroutine up.
// Read next: errors.go (what can go wrong), open.go, list.go, follow.go, then serialio.
package port

import (
	"fmt"
	"io"
	"sync"
	"sync/atomic"
	"time"
)

// closeGrace is how long Close waits for a write that has begun: one that takes longer is stuck in the kernel, where
// it holds the old device and can hit no other.
const closeGrace = 200 * time.Millisecond

// device is what an open port stands on: the part of serial.Port that is used.
type device interface {
	io.ReadWriteCloser
	ResetOutputBuffer() error
}

// A conn is one open port.
type conn struct {
	name    string
	dev     device
	lock    io.Closer
	writing chan struct{} // holds one token while a write may be in the kernel
	closed  atomic.Bool   // set by us alone, before the device is closed
	once    sync.Once
	err     error // of the one true Close
}

func newConn(name string, dev device, lock io.Closer) *conn {
	return &conn{name: name, dev: dev, lock: lock, writing: make(chan struct{}, 1)}
}

// Read waits for bytes without a time limit. It ends with ErrClosed after Close and with ErrGone if the device vanished.
func (c *conn) Read(p []byte) (int, error) {
	for {
		n, err := c.dev.Read(p)
		if n > 0 || len(p) == 0 {
			return n, nil
		}
		if err != nil {
			return 0, c.ended("read", err)
		}
	}
}

// Write writes all of p or says why not. One write is in the kernel at a time.
func (c *conn) Write(p []byte) (int, error) {
	c.writing <- struct{}{}
	defer func() { <-c.writing }()
	written := 0
	for written < len(p) {
		if c.closed.Load() {
			return written, fmt.Errorf("write to %s: %w", c.name, ErrClosed)
		}
		n, err := c.dev.Write(p[written:])
		written += n
		if err != nil {
			return written, c.ended("write to", err)
		}
	}
	return written, nil
}

// Close closes the port, frees a blocked Read, and lets the next one open it. Closing again is harmless.
func (c *conn) Close() error {
	c.once.Do(func() {
		c.closed.Store(true)
		c.waitForWriter()
		if err := c.dev.Close(); err != nil {
			c.err = fmt.Errorf("close %s: %w", c.name, err)
		}
		c.lock.Close() // closing it is what unlocks; there is nothing to do about an error
	})
	return c.err
}

// waitForWriter keeps the device open until no write can begin on its descriptor, whose number the next open file gets.
func (c *conn) waitForWriter() {
	grace := time.NewTimer(closeGrace)
	defer grace.Stop()
	select {
	case c.writing <- struct{}{}:
		<-c.writing
	case <-grace.C:
		_ = c.dev.ResetOutputBuffer() // frees the writer where the driver knows how to throw its bytes away
	}
}

// ended says why an open port no longer answers. The library has one error for both ways to end.
func (c *conn) ended(doing string, err error) error {
	if c.closed.Load() {
		return fmt.Errorf("%s %s: %w", doing, c.name, ErrClosed)
	}
	return fmt.Errorf("%s %s: %w: %w", doing, c.name, ErrGone, err)
}
