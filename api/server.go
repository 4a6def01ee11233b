package api

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"sync"
	"time"

	"fettle/api/guard"
)

// Limits of the HTTP server.
const (
	headerTimeout  = 5 * time.Second
	headerBytes    = 8 << 10
	idleTimeout    = 2 * time.Minute
	closeLimit     = 5 * time.Second // how long requests under way may take when the server ends
	bodyTimeout    = 10 * time.Second
	answerTimeout  = 10 * time.Second // for a client to take an answer in
	streamDeadline = 3 * time.Second  // for a client to take a batch of a stream in
)

// ErrNotLoopback refuses a listener that others could reach where nobody is asked for a key.
var ErrNotLoopback = errors.New("listens beyond this computer")

// Serve answers on l until ctx ends. It blocks until everything it started has ended: the websockets first, since the
// HTTP server would forget them, then the streams and requests. A Server that has ended is not served again.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	defer l.Close()
	if err := checkRights(s.Routes()); err != nil {
		return err
	}
	if s.Guard.Closed() {
		l = guard.Listen(l)
	} else if a, ok := l.Addr().(*net.TCPAddr); ok && !a.IP.IsLoopback() {
		return fmt.Errorf("serve on %s: %w", a, ErrNotLoopback)
	}
	if s.TLS != nil {
		l = tls.NewListener(l, s.TLS)
	}
	server := s.httpServer()
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(l) }() // ends with Shutdown or Close below
	var failed error
	select {
	case <-ctx.Done():
	case failed = <-ended:
		ended <- nil
	}
	err := s.close(server)
	<-ended
	if failed != nil {
		return fmt.Errorf("serve on %s: %w", l.Addr(), failed)
	}
	return err
}

// httpServer has no overall time limits, since a stream may last for days: each read of a body and each write has its
// own deadline.
func (s *Server) httpServer() *http.Server {
	return &http.Server{
		Handler:           s.Handler(),
		ReadHeaderTimeout: headerTimeout,
		MaxHeaderBytes:    headerBytes,
		IdleTimeout:       idleTimeout,
		ErrorLog:          slog.NewLogLogger(s.Log.Handler(), slog.LevelDebug),
	}
}

func (s *Server) close(server *http.Server) error {
	ctx, cancel := context.WithTimeout(context.Background(), closeLimit)
	defer cancel()
	s.stop()
	err := s.hub.Close(ctx)
	if late := server.Shutdown(ctx); late != nil {
		err = errors.Join(err, fmt.Errorf("requests still ran after %s: %w", closeLimit, late))
	}
	s.end()
	server.Close() // only what Shutdown gave up on is left to close
	<-s.gate.shut()
	return err
}

// patient is a context for what waits: it ends with the request, and when the server begins to stop.
func (s *Server) patient(ctx context.Context) (context.Context, context.CancelFunc) {
	ctx, cancel := context.WithCancel(ctx)
	release := context.AfterFunc(s.stopping, cancel)
	return ctx, func() { release(); cancel() }
}

// lasting is a context for what must be seen through although the client has gone. It ends with the server.
func (s *Server) lasting(ctx context.Context) (context.Context, context.CancelFunc) {
	ctx, cancel := context.WithCancel(context.WithoutCancel(ctx))
	release := context.AfterFunc(s.life, cancel)
	return ctx, func() { release(); cancel() }
}

// A gate counts the requests inside, since a closed http.Server may leave some running.
type gate struct {
	mu     sync.Mutex
	inside int
	closed bool
	idle   chan struct{} // closed when the gate is shut and the last has left
}

func (g *gate) enter() bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.closed {
		return false
	}
	g.inside++
	return true
}

func (g *gate) leave() {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.inside--
	if g.closed && g.inside == 0 {
		close(g.idle)
	}
}

// shut lets nobody in any more and returns what is closed when nobody is inside.
func (g *gate) shut() <-chan struct{} {
	g.mu.Lock()
	defer g.mu.Unlock()
	if !g.closed {
		g.closed = true
		if g.inside == 0 {
			close(g.idle)
		}
	}
	return g.idle
}
