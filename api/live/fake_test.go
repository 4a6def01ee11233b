package live_test

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"slices"
	"sync"
	"testing"
	"time"

	"fettle/api/live"
	"fettle/routines/logbook"
	"fettle/routines/runner"

	"github.com/gorilla/websocket"
)

// news is closed and made anew when there is some.
type news struct {
	lock sync.Mutex
	next chan struct{}
}

func (n *news) Wait() <-chan struct{} {
	n.lock.Lock()
	defer n.lock.Unlock()
	if n.next == nil {
		n.next = make(chan struct{})
	}
	return n.next
}

func (n *news) Beat() {
	n.lock.Lock()
	defer n.lock.Unlock()
	if n.next != nil {
		close(n.next)
		n.next = nil
	}
}

// book keeps events in memory, and fails on demand.
type book struct {
	news
	mu     sync.Mutex
	fail   error
	events []logbook.Event
}

func (b *book) StoreID() string          { return "s1" }
func (b *book) Changed() <-chan struct{} { return b.Wait() }

func (b *book) Last() int64 {
	b.mu.Lock()
	defer b.mu.Unlock()
	return int64(len(b.events))
}

func (b *book) Events(_ context.Context, f logbook.Filter) ([]logbook.Event, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	rest := b.events[min(int(f.After), len(b.events)):]
	return slices.Clone(rest[:min(f.Limit, len(rest))]), b.fail
}

// add publishes as the logbook does: nothing in it waits for a listener.
func (b *book) add(n int) {
	b.mu.Lock()
	for range n {
		b.events = append(b.events, logbook.Event{Seq: int64(len(b.events) + 1), Kind: "noted", Boot: "b1"})
	}
	b.mu.Unlock()
	b.Beat()
}

func (b *book) set(fail error) {
	b.mu.Lock()
	b.fail = fail
	b.mu.Unlock()
}

// benches show one printer whose reading grows with each look, and the run that holds it.
type benches struct {
	news
	mu    sync.Mutex
	looks int
	run   string
	state string
}

func (b *benches) Changed() <-chan struct{} { return b.Wait() }

func (b *benches) Printers(context.Context) ([]runner.PrinterView, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.looks++
	return []runner.PrinterView{{ID: "p1", Run: b.run, Owed: []string{}, Due: []string{}, Nozzle: &runner.Reading{C: float64(b.looks)},
		Line: runner.LineView{State: "listening"}}}, nil
}

func (b *benches) View(_ context.Context, run string) (runner.RunView, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if run != "r1" {
		return runner.RunView{}, fmt.Errorf("%w: %q", runner.ErrNoRun, run)
	}
	return runner.RunView{ID: run, State: b.state, Answers: []runner.Given{}}, nil
}

func (b *benches) set(run, state string) {
	b.mu.Lock()
	b.run, b.state = run, state
	b.mu.Unlock()
	b.Beat()
}

// stage is a hub behind an HTTP server over pipes, which run on false time.
type stage struct {
	*testing.T
	book    *book
	benches *benches
	wire    *wire
	hub     *live.Hub
	server  *http.Server
	dialled chan net.Conn
}

func newStage(t *testing.T) *stage {
	s := &stage{T: t, book: &book{}, benches: &benches{}, wire: &wire{}, dialled: make(chan net.Conn)}
	s.hub = live.New(live.Config{Book: s.book, Bench: s.benches, Log: slog.New(slog.DiscardHandler)})
	s.server = &http.Server{Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		var err error
		if r.URL.Path == "/wire" {
			err = s.hub.Wire(w, r, s.wire, 0)
		} else {
			after := int64(-1)
			fmt.Sscan(r.URL.Query().Get("after"), &after)
			err = s.hub.Events(w, r, after, r.URL.Query().Get("store"))
		}
		if err != nil {
			http.Error(w, err.Error(), http.StatusTeapot)
		}
	})}
	go s.server.Serve(s) // ends with close
	return s
}

func (s *stage) Accept() (net.Conn, error) {
	c, ok := <-s.dialled
	if !ok {
		return nil, net.ErrClosed
	}
	return c, nil
}

func (s *stage) Close() error   { return nil }
func (s *stage) Addr() net.Addr { return &net.TCPAddr{} }

// close ends everything within the time given, as the api does.
func (s *stage) close(within time.Duration) error {
	ctx, cancel := context.WithTimeout(context.Background(), within)
	defer cancel()
	err := s.hub.Close(ctx)
	close(s.dialled)
	return errors.Join(err, s.server.Shutdown(ctx))
}

func (s *stage) dial(path string) (*websocket.Conn, *http.Response, error) {
	d := websocket.Dialer{NetDialContext: func(context.Context, string, string) (net.Conn, error) {
		ours, theirs := net.Pipe()
		s.dialled <- theirs
		return ours, nil
	}}
	return d.Dial("ws://localhost"+path, nil)
}

func (s *stage) listen(path string) *websocket.Conn {
	s.Helper()
	c, _, err := s.dial(path)
	if err != nil {
		s.Fatal(err)
	}
	return c
}

// wire is a ring of lines.
type wire struct {
	news
	mu    sync.Mutex
	lines []runner.WireLine
}

func (w *wire) Changed() <-chan struct{} { return w.Wait() }

func (w *wire) Since(n int64) []runner.WireLine {
	w.mu.Lock()
	defer w.mu.Unlock()
	return slices.Clone(w.lines[min(int(n), len(w.lines)):])
}

func (w *wire) say(n int) {
	w.mu.Lock()
	for range n {
		w.lines = append(w.lines, runner.WireLine{N: int64(len(w.lines) + 1), Boot: "b1", Text: "ok"})
	}
	w.mu.Unlock()
	w.Beat()
}

// told is any message.
type told struct {
	Type    string
	StoreID string `json:"store_id"`
	LastSeq int64  `json:"last_seq"`
	Event   logbook.Event
	Printer runner.PrinterView
	Run     runner.RunView
	Runs    []runner.RunView
	OK      bool
	N       int64
}

// hear reads messages on a goroutine of its own until the socket ends, and hands over what it heard then.
func hear(c *websocket.Conn) func() ([]told, error) {
	var all []told
	var failed error
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		for {
			var m told
			if failed = c.ReadJSON(&m); failed != nil {
				return
			}
			all = append(all, m)
		}
	}()
	return func() ([]told, error) {
		<-ended
		c.Close()
		return all, failed
	}
}
