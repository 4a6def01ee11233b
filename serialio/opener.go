package serialio

import (
	"context"
	"io"
	"sync"
)

// opener opens and closes ports beside the loop, since either may take long.
type opener struct {
	openPort func(context.Context) (io.ReadWriteCloser, error)
	done     chan openedPort
	running  *sync.WaitGroup
	closed   chan struct{} // closed when the port before has let go; nil: there was none
}

type openedPort struct {
	port io.ReadWriteCloser
	err  error
}

func newOpener(open func(context.Context) (io.ReadWriteCloser, error)) opener {
	return opener{openPort: open, done: make(chan openedPort, 1), running: &sync.WaitGroup{}}
}

// open opens the port in a goroutine of its own, once the one before has let go. It ends with its one answer, for which
// there is room: the engine asks for one port at a time.
func (o *opener) open(ctx context.Context) {
	before := o.closed
	o.running.Go(func() {
		if before != nil {
			<-before
		}
		port, err := o.openPort(ctx)
		o.done <- openedPort{port: port, err: err}
	})
}

// closing closes a port in a goroutine of its own. It ends when the cable has let go, or was given up.
func (o *opener) closing(c *cable) {
	if c == nil {
		return
	}
	closed := make(chan struct{})
	o.closed = closed
	o.running.Go(func() {
		c.close()
		close(closed)
	})
}

// end waits for both, and closes a port that nobody wants any more.
func (o *opener) end() {
	o.running.Wait()
	select {
	case p := <-o.done:
		if p.port != nil {
			p.port.Close()
		}
	default:
	}
}
