package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"sync"
	"time"

	"fettle/routines/logbook"
)

// coolLimit bounds how long cool tries; a board that resets when its port is opened needs up to 10 s to greet.
const coolLimit = 30 * time.Second

// cool gives back what is owed to every printer, heat first, and ends. It is what should run after the agent died. Where
// it has nothing to do it says so: the record may be another one than that of the agent that died.
func cool(ctx context.Context, s settings, stdout, stderr io.Writer) error {
	ctx, cancel := context.WithTimeout(ctx, coolLimit)
	defer cancel()
	path, err := keptIn(s.Data)
	if err != nil {
		return err
	}
	h, err := build(ctx, s, 1, stderr)
	if err != nil {
		return err
	}
	defer h.book.Close()
	owed, err := h.book.Owed(ctx, "")
	if err != nil {
		return fmt.Errorf("read what is owed in %s: %w", path, err)
	}
	if len(owed) == 0 {
		_, err := fmt.Fprintf(stdout, "nothing is owed by this record, %s; look at the machine\n", path)
		return err
	}
	printers, err := h.book.Printers(ctx)
	if err != nil {
		return fmt.Errorf("read the printers: %w", err)
	}
	var all sync.WaitGroup
	failed := make([]error, len(printers))
	for i, p := range printers {
		if !owing(owed, p.ID) {
			continue
		}
		all.Go(func() { failed[i] = h.coolOne(ctx, p, stdout) }) // ends with ctx at the latest
	}
	all.Wait()
	return errors.Join(failed...)
}

func owing(owed []logbook.Owed, printer string) bool {
	for _, row := range owed {
		if row.Printer == printer {
			return true
		}
	}
	return false
}

func (h *house) coolOne(ctx context.Context, p logbook.Printer, stdout io.Writer) error {
	if err := h.runner.Settle(ctx, p); err != nil {
		return fmt.Errorf("%s at %s could not be given back what it is owed; look at the machine, switch it off at its switch if in doubt: %w", p.Name, p.Port, err)
	}
	_, err := fmt.Fprintf(stdout, "%s: heaters off, by its own report\n", p.Name)
	return err
}
