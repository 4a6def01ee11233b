package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"fettle/routines/logbook"
)

// demo serves stand-in printers on pseudo-terminals. All of their data is invented.
func demo(ctx context.Context, s settings, printers []inventedPrinter, args []string, stdout, stderr io.Writer) (err error) {
	if !onLoopback(s.Listen) {
		return refuse("FETTLE_LISTEN", s.Listen, "for the demo a loopback address and a port, such as 127.0.0.1:7340 or [::1]:7340")
	}
	folder, forget, err := demoFolder(args)
	if err != nil {
		return err
	}
	defer forget()
	s.Data = folder
	h, err := build(ctx, s, s.Speedup, stderr)
	if err != nil {
		return err
	}
	defer h.book.Close()
	beside, err := plugIn(folder, printers, s.Speedup, h.book)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, beside.stop()) }()
	for _, one := range beside.all {
		if err := h.furnish(ctx, one.inventedPrinter, one.cable.Name()); err != nil {
			return err
		}
	}
	listener, err := listen(s.Listen)
	if err != nil {
		return err
	}
	d, err := s.doorway()
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	announce(stdout, d.scheme()+"://"+listener.Addr().String(), folder, s.Speedup)
	return h.live(ctx, h.server(d, beside.look, beside.ports()...), nil, listener)
}

// demoFolder is the named folder, or a temporary one that is forgotten at the end.
func demoFolder(args []string) (folder string, forget func(), err error) {
	if len(args) > 0 {
		folder, err = filepath.Abs(args[0])
		return folder, func() {}, err
	}
	if folder, err = os.MkdirTemp("", "fettle-demo-"); err != nil {
		return "", nil, fmt.Errorf("make a folder for the demo: %w", err)
	}
	return folder, func() { os.RemoveAll(folder) }, nil
}

func announce(stdout io.Writer, address, folder string, speedup float64) {
	fmt.Fprintf(stdout, `Fettle demo at %[1]s
Two stand-in printers live here, "window" with a direct drive and "bench" with a tube, %[3]g times faster than real ones.
All of their data is invented. Logbook: %[2]s
First line to try:

  curl -s %[1]s/v1/printers

`, address, folder, speedup)
}

// furnish gives a logbook an invented printer with its setup, and the invented materials, where it has them not yet.
func (h *house) furnish(ctx context.Context, p inventedPrinter, portName string) error {
	const who = "demo"
	if _, err := h.book.Printer(ctx, p.id); !errors.Is(err, logbook.ErrNotFound) {
		return err
	}
	printer := logbook.Printer{ID: p.id, Name: p.name, Port: portName, Baud: 115200}
	_, err := h.book.Commit(ctx, logbook.Step{Printer: &printer, Setup: &logbook.SetupOf{Printer: printer.ID, Setup: p.setup},
		Events: []logbook.Event{{Printer: printer.ID, Kind: "printer added", Name: printer.Name, Who: who}}})
	if err != nil {
		return fmt.Errorf("store the demo printer: %w", err)
	}
	for _, m := range inventedMaterials {
		if _, err := h.book.Material(ctx, m.ID); err == nil {
			continue // a second printer finds them there
		}
		if _, err := h.book.Commit(ctx, logbook.Step{Material: &m, Events: []logbook.Event{{Kind: "material changed", Name: m.ID, Who: who}}}); err != nil {
			return fmt.Errorf("store material %s: %w", m.ID, err)
		}
	}
	return nil
}
