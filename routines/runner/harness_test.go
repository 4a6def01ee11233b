package runner_test

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"net"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"fettle/routines"
	"fettle/routines/feed"
	"fettle/routines/logbook"
	"fettle/routines/runner"
	"fettle/serialio"
	"fettle/serialio/machine"
	"fettle/serialio/standin"
)

// shop is a printer on its cable, a logbook on the disk, and the runner between them. It lives in a bubble, on false
// time: a test opens it, ends it, and may open it again as the next life of the agent.
type shop struct {
	t       *testing.T
	path    string
	check   routines.Routine
	printer *standin.Printer

	cable  cable
	before hook[func(block string) error] // called before a block is sent; an error is its fate, and nothing is sent
	after  hook[func(block string)]       // called when the printer has obeyed one
	clock  hook[logbook.Clock]            // the wall's
	write  hook[func()]                   // called when a transaction of the logbook has begun and nothing of it is stored yet

	book   *logbook.Book
	runner *runner.Runner
	line   machine.Line
	life   context.Context
	end    context.CancelFunc
	ended  sync.WaitGroup
	failed error
}

// hook is a place where a test listens in; it may come and go at any time.
type hook[F any] struct{ p atomic.Pointer[F] }

func (h *hook[F]) set(f F) { h.p.Store(&f) }

func (h *hook[F]) get() (f F) {
	if p := h.p.Load(); p != nil {
		f = *p
	}
	return f
}

const printerID = "p1"

var quiet = slog.New(slog.DiscardHandler)

// inBubble runs a test on false time, with a shop whose printer is profile. Somebody else has said the words before to it.
func inBubble(t *testing.T, profile standin.Profile, test func(*shop), before ...string) {
	t.Helper()
	path := filepath.Join(folder(t), "logbook.db")
	synctest.Test(t, func(t *testing.T) {
		s := newShop(t, path, profile)
		defer s.close()
		s.fitOut()
		s.saidBefore(before)
		s.open()
		test(s)
	})
}

// folder is where a logbook is kept: in memory where the computer offers that, since no test here pulls the plug.
func folder(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("/dev/shm", "runner")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	return dir
}

func newShop(t *testing.T, path string, profile standin.Profile) *shop {
	return &shop{t: t, path: path, check: feed.Check(), printer: standin.NewPrinter(profile, 1), cable: cable{plugged: true}}
}

// slow is the printer of most tests: 93.00 steps/mm where 95.876 are true, so that of 100 mm commanded 97.0 arrive. It
// does not restart when its line is opened.
func slow() standin.Profile {
	p := standin.Invented()
	p.TrueStepsPerMM, p.ResetsOnOpen = 95.876, false
	return p
}

// fitOut stores what a run needs: an invented printer, its setup, an invented material.
func (s *shop) fitOut() {
	s.t.Helper()
	book, err := logbook.Open(s.ctx(), s.path)
	if err != nil {
		s.t.Fatal(err)
	}
	defer book.Close()
	_, err = book.Commit(s.ctx(), logbook.Step{Printer: &logbook.Printer{ID: printerID, Name: "P1", Port: "pipe", Baud: 115200},
		Setup: &logbook.SetupOf{Printer: printerID, Setup: fitted()}, Material: &rigid})
	if err != nil {
		s.t.Fatal(err)
	}
}

func fitted() routines.Setup {
	return routines.Setup{Drive: "direct", FilamentDiameterMM: 1.75, NozzleBoreMM: 0.4, Liner: "all_metal", NozzleMaxC: 280,
		BedMaxC: 100, FeedMaxMMPerS: 5, BuildXMM: 200, BuildYMM: 200, BuildZMM: 180}
}

// rigid is invented demo data.
var rigid = routines.Material{ID: "m1", Name: "a rigid filament", NozzleC: 210, NozzleMinC: 190, NozzleMaxC: 230, BedC: 50, Invented: true}

// open begins a life of the agent over the book.
func (s *shop) open() {
	s.t.Helper()
	var err error
	if s.book, err = logbook.Open(s.ctx(), s.path, logbook.WithClock(s.stamp)); err != nil {
		s.t.Fatal(err)
	}
	s.runner = runner.New(runner.Config{Book: s.book, Routines: []routines.Routine{s.check}, Connect: s.connect, Log: quiet})
	s.life, s.end = context.WithCancel(s.ctx())
	s.ended.Go(func() { s.failed = s.runner.Run(s.life) })
	<-s.runner.Ready()
}

// stamp is the logbook's clock, which it looks at in the middle of each transaction.
func (s *shop) stamp() (time.Time, bool) {
	if write := s.write.get(); write != nil {
		write()
	}
	if clock := s.clock.get(); clock != nil {
		return clock()
	}
	return time.Now(), false
}

// atEvent does something once, in the transaction that follows the one with the n-th event of a run.
func (s *shop) atEvent(run string, n int, do func()) {
	done := false
	s.write.set(func() {
		if !done && len(s.stored(run)) >= n {
			done = true
			do()
		}
	})
}

// shutDown ends this life of the agent in good order.
func (s *shop) shutDown() {
	s.t.Helper()
	s.end()
	s.ended.Wait()
	if s.failed != nil {
		s.t.Errorf("the runner ended with %v", s.failed)
	}
	s.book.Close()
	s.runner = nil
}

func (s *shop) close() {
	if s.runner != nil {
		s.shutDown()
	}
	s.cable.cut(true)
}

func (s *shop) connect(logbook.Printer) machine.Line {
	line := serialio.New(serialio.Config{Open: func(context.Context) (io.ReadWriteCloser, error) { return s.cable.open(s.printer) }})
	s.line = line
	return tap{line, s}
}

func (s *shop) ctx() context.Context { return context.Background() }

// saidBefore is another host's visit to the printer, long before ours.
func (s *shop) saidBefore(lines []string) {
	s.t.Helper()
	host, _ := s.cable.open(s.printer)
	time.Sleep(10 * time.Second) // it may be starting
	go io.Copy(io.Discard, host) // ends when the pipe is closed
	for _, line := range lines {
		if _, err := io.WriteString(host, line+"\n"); err != nil {
			s.t.Fatal(err)
		}
		time.Sleep(time.Second)
	}
	host.Close()
	s.cable.served.Wait()
}

// tap is a line with a place to listen in on it.
type tap struct {
	machine.Line
	shop *shop
}

func (l tap) Send(ctx context.Context, block string) (serialio.Reply, error) {
	if before := l.shop.before.get(); before != nil {
		if err := before(block); err != nil {
			return serialio.Reply{}, err
		}
	}
	reply, err := l.Line.Send(ctx, block)
	if after := l.shop.after.get(); after != nil && err == nil {
		after(block)
	}
	return reply, err
}

// cable is a pipe from the line to the printer, that can be pulled out and plugged in.
type cable struct {
	mu      sync.Mutex
	plugged bool
	host    net.Conn
	served  sync.WaitGroup
	instead *standin.Printer // another printer at the far end; nil: the one that is meant
}

func (c *cable) open(p *standin.Printer) (io.ReadWriteCloser, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if !c.plugged {
		return nil, errors.New("it is not plugged in")
	}
	if c.instead != nil {
		p = c.instead
	}
	host, board := net.Pipe()
	c.host = host
	c.served.Go(func() { p.Serve(context.Background(), board) }) // ends when the host's end is closed
	return host, nil
}

// cut pulls the cable out. With wait it returns when nobody is at the far end any more.
func (c *cable) cut(wait bool) {
	c.mu.Lock()
	c.plugged = false
	if c.host != nil {
		c.host.Close()
	}
	c.mu.Unlock()
	if wait {
		c.served.Wait()
	}
}

func (c *cable) plug() {
	c.mu.Lock()
	c.plugged = true
	c.mu.Unlock()
}

// swap pulls the cable out of one printer and plugs it into another; nil is the one that is meant.
func (c *cable) swap(p *standin.Printer) {
	c.cut(true)
	c.mu.Lock()
	c.plugged, c.instead = true, p
	c.mu.Unlock()
}

// rest lets time pass, and lets everybody come to rest.
func (s *shop) rest(d time.Duration) {
	time.Sleep(d)
	synctest.Wait()
}
