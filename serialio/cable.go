package serialio

import (
	"errors"
	"fmt"
	"io"
	"runtime"
	"sync"
	"time"
)

const (
	// writeWatch is how long one write may take: at 115,200 bit/s the longest line takes 9 ms.
	writeWatch = 3 * time.Second
	// letGo is how long closing waits for a reader or writer that does not come back. A write to a device that has
	// stopped reading can hang for ever, and closing does not free it: then its goroutine is left behind until the
	// device goes. That is the last resort.
	letGo = 2 * time.Second
	// emptyReads is how often a read may bring nothing before the port counts as broken.
	emptyReads = 100
)

// A cable moves bytes between the loop and one open port: one reader, one writer, each with its goroutine.
type cable struct {
	port   io.ReadWriteCloser
	reads  chan []byte
	failed chan error
	quit   chan struct{}
	ends   sync.WaitGroup

	mu      sync.Mutex
	pending []byte // written by the loop, taken by the writer
	nudge   chan struct{}
	writing chan struct{} // holds the one right to write, which close takes away for good
}

// newCable starts a reader and a writer. Both end when close is called; the reader also ends when the port fails.
func newCable(port io.ReadWriteCloser) *cable {
	c := &cable{port: port, reads: make(chan []byte), failed: make(chan error, 3), quit: make(chan struct{}),
		nudge: make(chan struct{}, 1), writing: make(chan struct{}, 1)}
	c.ends.Go(c.reader)
	c.ends.Go(c.writer)
	return c
}

// read is where bytes arrive; nil without a cable.
func (c *cable) read() <-chan []byte {
	if c == nil {
		return nil
	}
	return c.reads
}

// failure is where the end of the port is told; nil without a cable.
func (c *cable) failure() <-chan error {
	if c == nil {
		return nil
	}
	return c.failed
}

// reader reads until the port fails or is closed. Two buffers take turns: the loop has done with one when it takes the
// next.
func (c *cable) reader() {
	var room [2][4096]byte
	empty := 0
	for i := 0; empty < emptyReads; i ^= 1 {
		n, err := c.port.Read(room[i][:])
		if n > 0 {
			empty = 0
			select {
			case c.reads <- room[i][:n]:
				runtime.Gosched() // the loop and the writer go first: the next read is a system call that holds the processor
			case <-c.quit:
				return
			}
		}
		if err != nil {
			c.failed <- fmt.Errorf("read the port: %w", err)
			return
		}
		if n == 0 {
			empty++
		}
	}
	c.failed <- errors.New("read the port: it brings nothing")
}

// write hands bytes to the writer and never waits.
func (c *cable) write(p []byte) {
	if c == nil {
		return
	}
	c.mu.Lock()
	c.pending = append(c.pending, p...)
	c.mu.Unlock()
	nudge(c.nudge)
}

// writer writes what is pending until the cable is closed or a write fails. A watchdog tells the loop of a write that
// does not end.
func (c *cable) writer() {
	var taken []byte
	watchdog := time.AfterFunc(time.Hour, func() {
		c.tell(errors.New("write to the port: it takes no more bytes"))
	})
	watchdog.Stop()
	for {
		select {
		case <-c.nudge:
		case <-c.quit:
			return
		}
		c.mu.Lock()
		taken, c.pending = c.pending, taken[:0]
		c.mu.Unlock()
		watchdog.Reset(writeWatch)
		err := c.writeAll(taken)
		watchdog.Stop()
		if err != nil {
			c.tell(fmt.Errorf("write to the port: %w", err))
			return
		}
	}
}

// writeAll writes everything, since short writes are not repeated below, and nothing once the cable is closed.
func (c *cable) writeAll(p []byte) error {
	select {
	case c.writing <- struct{}{}:
		defer func() { <-c.writing }()
	case <-c.quit:
		return io.ErrClosedPipe
	}
	for len(p) > 0 {
		select {
		case <-c.quit:
			return io.ErrClosedPipe
		default:
		}
		n, err := c.port.Write(p)
		if err != nil {
			return err
		}
		if n <= 0 {
			return io.ErrShortWrite
		}
		p = p[n:]
	}
	return nil
}

// tell reports a failure; the first few are enough.
func (c *cable) tell(err error) {
	select {
	case c.failed <- err:
	default:
	}
}

// close closes the port and waits until reader and writer have ended, or gives them up. A write under way has a moment
// to end before the port is closed under it; none begins after.
func (c *cable) close() {
	close(c.quit)
	select {
	case c.writing <- struct{}{}:
	case <-time.After(letGo / 10):
	}
	c.port.Close()
	ended := make(chan struct{})
	go func() { // ends with the reader and the writer
		c.ends.Wait()
		close(ended)
	}()
	select {
	case <-ended:
	case <-time.After(letGo):
	}
}
