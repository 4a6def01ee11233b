package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"path/filepath"
	"sync"
	"syscall"

	"fettle/api"
	"fettle/api/guard"
	"fettle/routines"
	"fettle/routines/cable"
	"fettle/routines/feed"
	"fettle/routines/ladder"
	"fettle/routines/logbook"
	"fettle/routines/runner"
	"fettle/routines/spool"
	"fettle/serialio"
	"fettle/serialio/machine"
	"fettle/serialio/port"
)

// registry is every routine there is. A new one is one line here.
var registry = []routines.Routine{feed.Check(), feed.FlowLimit(), ladder.Travel(), ladder.Length(), spool.Diameter(), cable.Check()}

// house is the agent's rooms, wired together and not yet started.
type house struct {
	settings settings
	log      *slog.Logger
	book     *logbook.Book
	runner   *runner.Runner
	ports    ports
	speedup  float64
}

// build opens the logbook and wires the rooms. The caller closes the book.
func build(ctx context.Context, s settings, speedup float64, stderr io.Writer) (*house, error) {
	level, err := s.level()
	if err != nil {
		return nil, refuse("FETTLE_LOG_LEVEL", s.LogLevel, "debug, info, warn or error")
	}
	h := &house{settings: s, speedup: speedup, log: slog.New(slog.NewTextHandler(stderr, &slog.HandlerOptions{Level: level}))}
	if err := makeData(s.Data); err != nil {
		return nil, err
	}
	if h.book, err = logbook.Open(ctx, filepath.Join(s.Data, "logbook.db"), logbook.WithClock(logbook.SystemClock)); err != nil {
		return nil, fmt.Errorf("open the logbook: %w", err)
	}
	h.runner = runner.New(runner.Config{Book: h.book, Routines: registry, Connect: h.connect, Speedup: speedup, Log: h.log, AttendedLimit: s.AttendedLimit})
	return h, nil
}

// connect makes the line of a printer and starts nothing.
func (h *house) connect(p logbook.Printer) machine.Line {
	return serialio.New(serialio.Config{
		Open: func(ctx context.Context) (io.ReadWriteCloser, error) {
			return port.Open(ctx, p.Port, p.Baud, lowered(p)...)
		},
		Speedup: h.speedup, Silence: h.settings.Silence, Boot: h.book.Boot(), Log: h.log.With("printer", p.ID)})
}

// lowered names the lines that are lowered when a printer's port is opened.
func lowered(p logbook.Printer) (low []port.Line) {
	if p.DTRLow {
		low = append(low, port.DTR)
	}
	if p.RTSLow {
		low = append(low, port.RTS)
	}
	return low
}

// live runs the runner, the guard and the API together until ctx ends or one of them fails. The order of the end: no new
// runs, the runs end and what is owed is given back, the sockets are closed, HTTP goes down. g is nil in
// the demo: the guard there has no store, and nothing of it runs.
func (h *house) live(ctx context.Context, server *api.Server, g *guard.Guard, listener net.Listener) error {
	serving, down := context.WithCancel(context.WithoutCancel(ctx))
	defer down()
	var beside sync.WaitGroup
	defer beside.Wait()
	if g != nil {
		beside.Go(func() { g.Run(serving) }) // ends when serving does
	}
	beside.Go(func() { // ends when serving does
		if err := h.ports.follow(serving); err != nil {
			h.log.Error("changes of what is plugged in are no longer told", "err", err)
		}
	})
	working, end := context.WithCancel(ctx)
	defer end()
	served := make(chan error, 1)
	go func() { // ends when serving does
		select {
		case <-h.runner.Ready():
		case <-serving.Done():
		}
		err := server.Serve(serving, listener)
		end() // nobody could reach the printers any more
		served <- err
	}()
	err := h.runner.Run(working)
	down()
	return errors.Join(err, <-served)
}

// serve is the agent itself. speedup is 1 but in tests, whose stand-in printer is in a hurry.
func serve(ctx context.Context, s settings, speedup float64, stdout, stderr io.Writer) error {
	h, err := build(ctx, s, speedup, stderr)
	if err != nil {
		return err
	}
	defer h.book.Close()
	return h.serve(ctx, stdout)
}

func (h *house) serve(ctx context.Context, stdout io.Writer) error {
	listener, err := listen(h.settings.Listen)
	if err != nil {
		return err
	}
	d, err := h.doorway(listener.Addr(), stdout)
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	defer d.forget()
	return h.live(ctx, h.server(d, nil), d.guard, listener)
}

// listen opens the address of FETTLE_LISTEN.
func listen(address string) (net.Listener, error) {
	listener, err := net.Listen("tcp", address)
	if errors.Is(err, syscall.EADDRINUSE) {
		return nil, fmt.Errorf("%s is taken, most likely by another agent or demo: end that one, or give this one another port, such as FETTLE_LISTEN=127.0.0.1:7341: %w", address, err)
	} else if err != nil {
		return nil, fmt.Errorf("listen at %s: %w", address, err)
	}
	return listener, nil
}
