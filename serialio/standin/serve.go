package standin

import (
	"context"
	"errors"
	"fmt"
	"io"
	"sync"
	"time"
)

// errHostOpened is what a line's Read returns, with no bytes, when a host has opened it. The line is still good.
var errHostOpened = errors.New("a host has opened the line")

// Serve is the printer on one line, from a host's opening of it until ctx ends or the line breaks. It closes the line,
// and returns when all it started has ended. A line that has ended by ctx is no error.
func (p *Printer) Serve(ctx context.Context, line io.ReadWriteCloser) error {
	p.do((*Firmware).HostOpened)
	return p.serve(ctx, line)
}

func (p *Printer) serve(ctx context.Context, line io.ReadWriteCloser) error {
	ctx, cancel := context.WithCancel(ctx)
	s := session{printer: p, line: line, heard: make(chan []byte), said: make(chan []byte), free: make(chan error), broken: make(chan error)}
	var ended sync.WaitGroup
	ended.Go(func() { s.listen(ctx) }) // ends when the line is closed
	ended.Go(func() { s.speak(ctx) })  // ends when ctx does, and the line is closed under its write
	err := s.run(ctx)
	cancel()
	closing := line.Close()
	ended.Wait()
	return errors.Join(err, closing)
}

// session is one line in use: a loop that owns the firmware's turn, a listener, a speaker.
type session struct {
	printer *Printer
	line    io.ReadWriteCloser
	heard   chan []byte // from the listener; nil: a host has opened the line
	said    chan []byte // to the speaker, one at a time
	free    chan error  // from the speaker: done with it
	broken  chan error  // from the listener: the line is gone
}

// run gives the firmware a turn whenever something happens.
func (s session) run(ctx context.Context) error {
	timer := time.NewTimer(0)
	defer timer.Stop()
	event, speaking := pass, false
	for {
		said, again := s.printer.turn(event, !speaking)
		timer.Stop()
		if again >= 0 {
			timer.Reset(again)
		}
		if len(said) > 0 {
			speaking = s.hand(ctx, said)
		}
		event = pass
		select {
		case <-ctx.Done():
			return nil
		case err := <-s.broken:
			return fmt.Errorf("listen to the host: %w", err)
		case err := <-s.free:
			if err != nil {
				return fmt.Errorf("speak to the host: %w", err)
			}
			speaking = false
		case bytes := <-s.heard:
			event = hearing(bytes)
		case <-s.printer.nudge:
		case <-timer.C:
		}
	}
}

// hand gives the speaker, which is free, something to say.
func (s session) hand(ctx context.Context, said []byte) bool {
	select {
	case s.said <- said:
		return true
	case <-ctx.Done():
		return false
	}
}

func pass(*Firmware) {}

func hearing(bytes []byte) func(*Firmware) {
	if bytes == nil {
		return (*Firmware).HostOpened
	}
	return func(f *Firmware) { f.Hear(bytes) }
}

func (s session) listen(ctx context.Context) {
	for {
		bytes := make([]byte, 256)
		n, err := s.line.Read(bytes)
		bytes = bytes[:n]
		if errors.Is(err, errHostOpened) {
			bytes, err = nil, nil
		}
		if bytes == nil || n > 0 {
			select {
			case s.heard <- bytes:
			case <-ctx.Done():
				return
			}
		}
		if err != nil {
			select {
			case s.broken <- err:
			case <-ctx.Done():
			}
			return
		}
	}
}

func (s session) speak(ctx context.Context) {
	for {
		select {
		case <-ctx.Done():
			return
		case said := <-s.said:
			_, err := s.line.Write(said)
			select {
			case s.free <- err:
			case <-ctx.Done():
				return
			}
		}
	}
}
