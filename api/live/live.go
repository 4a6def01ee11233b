// Package live shows what changes as it changes, over websockets.
//
// Owns: the sockets, from the handshake to the last frame; the newest view of each printer and run, encoded once.
// Guarantees: a publisher never waits for a listener; every event behind a listener's number reaches it once and in
// order, or the socket ends; a listener that takes too long is cut off; Close returns when all sockets have ended.
// Does not do: store, decide, or read anything a listener says. websocket is imported here and nowhere else.
// Read next: events.go for what a page is told, socket.go for one socket's life, shelf.go for what is shared.
package live

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"sync"
	"time"

	"fettle/routines/logbook"
	"fettle/routines/runner"

	"github.com/gorilla/websocket"
)

// Book is where events come from.
type Book interface {
	StoreID() string
	Last() int64
	Changed() <-chan struct{}
	Events(context.Context, logbook.Filter) ([]logbook.Event, error)
}

// Bench is where views come from.
type Bench interface {
	Printers(context.Context) ([]runner.PrinterView, error)
	View(ctx context.Context, run string) (runner.RunView, error)
	Changed() <-chan struct{}
}

// Config is what a Hub is made of.
type Config struct {
	Book  Book
	Bench Bench
	Log   *slog.Logger
}

// Limits of the sockets.
const (
	mostSockets   = 256
	writeDeadline = 3 * time.Second        // for a listener to take a batch in
	beatEvery     = 5 * time.Second        // so often a listener hears something
	pongWithin    = 30 * time.Second       // a listener that says nothing for so long is gone
	viewsEvery    = 100 * time.Millisecond // views are made anew at most so often
	storeRetry    = time.Second            // after the store failed
	goodbyeWithin = time.Second            // for a listener to answer a close frame
	readLimit     = 4 << 10                // bytes of a message from a listener
	batchSize     = 64                     // events at once
	mostBehind    = 1024                   // events a listener may fall behind, once it has caught up
)

// Why a socket is refused. Nothing has been written when one of these is returned.
var (
	ErrNotAsked  = errors.New("the request asks for no websocket")
	ErrHandshake = errors.New("the websocket handshake is wrong")
	ErrFull      = errors.New("too many sockets are open")
	ErrClosing   = errors.New("the agent is stopping")
)

// Hub holds the open sockets.
type Hub struct {
	Config
	shelf shelf

	mu      sync.Mutex
	open    map[*socket]bool
	closing bool
	ended   chan struct{} // closed when closing and the last socket has ended
}

// New makes a Hub and starts nothing.
func New(c Config) *Hub {
	return &Hub{Config: c, shelf: shelf{book: c.Book, bench: c.Bench}, open: map[*socket]bool{}, ended: make(chan struct{})}
}

// Asked reports whether a request asks for a websocket.
func Asked(r *http.Request) bool { return websocket.IsWebSocketUpgrade(r) }

// Close ends all sockets, with a close frame as far as they take it, and returns when they have ended. When ctx ends
// they are cut off.
func (h *Hub) Close(ctx context.Context) error {
	h.mu.Lock()
	if !h.closing {
		h.closing = true
		if len(h.open) == 0 {
			close(h.ended)
		}
	}
	for s := range h.open {
		s.hurry(ErrClosing)
	}
	h.mu.Unlock()
	select {
	case <-h.ended:
		return nil
	case <-ctx.Done():
	}
	h.mu.Lock()
	for s := range h.open {
		s.cut()
	}
	h.mu.Unlock()
	<-h.ended
	return ctx.Err()
}

// enter gives a socket its place.
func (h *Hub) enter(s *socket) error {
	h.mu.Lock()
	defer h.mu.Unlock()
	switch {
	case h.closing:
		return ErrClosing
	case len(h.open) >= mostSockets:
		return ErrFull
	}
	h.open[s] = true
	return nil
}

func (h *Hub) leave(s *socket) {
	h.mu.Lock()
	defer h.mu.Unlock()
	delete(h.open, s)
	if h.closing && len(h.open) == 0 {
		close(h.ended)
	}
}
