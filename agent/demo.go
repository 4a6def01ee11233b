package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/serialio/standin"
)

// demo serves a stand-in printer on a pseudo-terminal. All of its data is invented.
func demo(ctx context.Context, s settings, profile standin.Profile, args []string, stdout, stderr io.Writer) (err error) {
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
	printer, err := plugIn(folder, profile, s.Speedup, h.book)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, printer.stop()) }()
	if err := h.furnish(ctx, printer.cable.Name()); err != nil {
		return err
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
	return h.live(ctx, h.server(d, printer.look, printer.cable.Name()), nil, listener)
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
A stand-in printer "window" lives here %[3]g times faster than a real one. Its data is invented. Logbook: %[2]s
First line to try:

  curl -s %[1]s/v1/printers

`, address, folder, speedup)
}

// furnish gives an empty logbook a printer, its setup and two materials, all invented.
func (h *house) furnish(ctx context.Context, portName string) error {
	printers, err := h.book.Printers(ctx)
	if err != nil {
		return fmt.Errorf("read the printers: %w", err)
	}
	if len(printers) > 0 {
		return nil
	}
	const who = "demo"
	printer := logbook.Printer{ID: "window", Name: "Window", Port: portName, Baud: 115200}
	setup := routines.Setup{Drive: "direct", FilamentDiameterMM: 1.75, NozzleBoreMM: 0.4, Liner: "all_metal", NozzleMaxC: 280,
		BedMaxC: 100, FeedMaxMMPerS: 25, BuildXMM: 220, BuildYMM: 220, BuildZMM: 200, Switch: "back, left"}
	_, err = h.book.Commit(ctx, logbook.Step{Printer: &printer, Setup: &logbook.SetupOf{Printer: printer.ID, Setup: setup},
		Events: []logbook.Event{{Printer: printer.ID, Kind: "printer added", Name: printer.Name, Who: who}}})
	if err != nil {
		return fmt.Errorf("store the demo printer: %w", err)
	}
	for _, m := range inventedMaterials {
		if _, err := h.book.Commit(ctx, logbook.Step{Material: &m, Events: []logbook.Event{{Kind: "material changed", Name: m.ID, Who: who}}}); err != nil {
			return fmt.Errorf("store material %s: %w", m.ID, err)
		}
	}
	return nil
}

// inventedMaterials are nobody's products; their temperatures are common practice, no source.
var inventedMaterials = []routines.Material{
	{ID: "plum-pla", Name: "Plum PLA (invented)", NozzleC: 210, NozzleMinC: 190, NozzleMaxC: 230, BedC: 60, ColourHex: "#7C5AA6", Invented: true},
	{ID: "sand-petg", Name: "Sand PETG (invented)", NozzleC: 240, NozzleMinC: 225, NozzleMaxC: 250, BedC: 80, ColourHex: "#C9B48A", Invented: true},
}
