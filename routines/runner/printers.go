package runner

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/serialio"
	"fettle/serialio/gcode"
)

// AddPrinter makes a port a printer: the record is stored, then its line is opened.
func (r *Runner) AddPrinter(ctx context.Context, p logbook.Printer, who string) (PrinterView, error) {
	r.adding.Lock()
	if r.life == nil || r.life.Err() != nil {
		r.adding.Unlock()
		return PrinterView{}, ErrNotRunning
	}
	b, err := r.addLocked(ctx, p, who)
	r.adding.Unlock()
	if err != nil {
		return PrinterView{}, err
	}
	return b.view(ctx)
}

func (r *Runner) addLocked(ctx context.Context, p logbook.Printer, who string) (*bench, error) {
	if p.ID = slug(p.Name); p.ID == "" {
		return nil, &routines.FieldError{Field: "name", Detail: "has no letter or digit", Accept: "a name of up to 40 letters and digits"}
	}
	if len(p.ID) > mostName {
		return nil, &routines.FieldError{Field: "name", Detail: "is too long", Accept: "a name of up to 40 letters and digits"}
	}
	if p.Port == "" {
		return nil, &routines.FieldError{Field: "port", Detail: "is missing", Accept: "a serial port by its stable name"}
	}
	for _, b := range *r.benches.Load() {
		if b.printer.ID == p.ID || b.printer.Port == p.Port {
			return nil, fmt.Errorf("%w: %s at %s", ErrPrinterExists, b.printer.Name, b.printer.Port)
		}
	}
	p.AddedMS = time.Now().UnixMilli()
	step := logbook.Step{Printer: &p, Events: []logbook.Event{{Printer: p.ID, Kind: "printer added", Name: p.Name, Who: who, Body: mustJSON(p)}}}
	if _, err := r.Book.Commit(ctx, step); err != nil {
		return nil, fmt.Errorf("store the printer: %w", err)
	}
	return r.place(p), nil
}

const mostName = 40

// slug is a printer's id: its name in small letters and digits, joined by hyphens.
func slug(name string) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(c rune) bool { return (c < 'a' || c > 'z') && (c < '0' || c > '9') })
	return strings.Join(words, "-")
}

// Printers are all printers, by id.
func (r *Runner) Printers(ctx context.Context) ([]PrinterView, error) {
	views := []PrinterView{}
	for _, b := range *r.benches.Load() {
		v, err := b.view(ctx)
		if err != nil {
			return nil, err
		}
		views = append(views, v)
	}
	slices.SortFunc(views, func(a, b PrinterView) int { return strings.Compare(a.ID, b.ID) })
	return views, nil
}

// Printer is one printer.
func (r *Runner) Printer(ctx context.Context, id string) (PrinterView, error) {
	b, err := r.bench(id)
	if err != nil {
		return PrinterView{}, err
	}
	return b.view(ctx)
}

func (b *bench) view(ctx context.Context) (PrinterView, error) {
	s := b.machine.Snapshot()
	v := PrinterView{ID: b.printer.ID, Name: b.printer.Name, Port: b.printer.Port, Baud: b.printer.Baud,
		DTR: !b.printer.DTRLow, RTS: !b.printer.RTSLow, Fingerprint: b.company.kept.Load(), AnotherPrinter: b.another(), Owed: []string{}, Due: []string{},
		Line: lineOf(s)}
	if run := b.run.Load(); run != nil {
		v.Run, v.Line.Occupied = run.id(), true
	}
	if s.Temps.HasNozzle {
		v.Nozzle = b.reading(s.Temps.NozzleC, s.Temps.NozzleTargetC, s.TempsAt)
	}
	if s.Temps.HasBed {
		v.Bed = b.reading(s.Temps.BedC, s.Temps.BedTargetC, s.TempsAt)
	}
	if s.StopAsked {
		v.Stop = &StopView{Confirmed: s.StopConfirmed}
	}
	v.SomeoneElse = b.someoneElse(ctx)
	if v.AnotherPrinter != nil {
		v.Due = append(v.Due, "another_printer: "+v.AnotherPrinter.Text)
	}
	return v, b.viewRecords(ctx, s.State, &v)
}

func lineOf(s serialio.Snapshot) LineView {
	v := LineView{State: s.State.String(), Why: s.Why, Since: s.Since, Fault: s.Fault, Firmware: s.Identity.Firmware}
	if f, ok := haltedBy(s); ok {
		v.Plain = &f
	}
	return v
}

// haltedBy is the fault by which a firmware stopped itself, in plain words.
func haltedBy(s serialio.Snapshot) (gcode.Fault, bool) {
	if s.State != serialio.Halted {
		return gcode.Fault{}, false
	}
	return gcode.FaultOf(s.Fault)
}

// viewRecords adds what the logbook holds about the printer.
func (b *bench) viewRecords(ctx context.Context, state serialio.State, v *PrinterView) error {
	rows, err := b.runner.Book.Owed(ctx, b.printer.ID)
	if err != nil {
		return fmt.Errorf("read what is owed: %w", err)
	}
	for _, row := range rows {
		v.Owed = append(v.Owed, row.What)
	}
	setup, err := b.runner.Book.Setup(ctx, b.printer.ID)
	switch {
	case errors.Is(err, logbook.ErrNotFound):
		v.Due = append(v.Due, "setup: say what the printer is fitted with")
	case err != nil:
		return fmt.Errorf("read the setup: %w", err)
	default:
		v.Setup = &setup
		if err := b.viewDocket(ctx, setup, v); err != nil {
			return err
		}
	}
	if state == serialio.Halted {
		v.Due = append(v.Due, "wake: switch the printer off and on, then wake the line")
	}
	return nil
}

// outdatedAfter is how old a temperature may be before it must not be relied on.
const outdatedAfter = 10 * time.Second

func (b *bench) reading(c, targetC float64, at time.Time) *Reading {
	age := time.Since(at)
	return &Reading{C: c, TargetC: targetC, AgeS: float64(age.Milliseconds()) / 1000, Outdated: age > outdatedAfter}
}

// SetSetup stores a new version of what a printer is fitted with. A run holds the one it began with.
func (r *Runner) SetSetup(ctx context.Context, printer string, s routines.Setup, who string) (routines.Setup, error) {
	b, err := r.bench(printer)
	if err != nil {
		return s, err
	}
	if run := b.run.Load(); run != nil {
		return s, fmt.Errorf("%w: %s", ErrOccupied, run.id())
	}
	if err := s.Validate(); err != nil {
		return s, err
	}
	implied, err := b.impliedBy(ctx, s, who)
	if err != nil {
		return s, err
	}
	step, err := r.Book.Commit(ctx, logbook.Step{Setup: &logbook.SetupOf{Printer: printer, Setup: s}, Entries: implied,
		Events: []logbook.Event{{Printer: printer, Kind: "setup changed", Who: who, Body: mustJSON(s)}}})
	if err != nil {
		return s, fmt.Errorf("store the setup: %w", err)
	}
	b.tell()
	return step.Setup.Setup, nil
}

// SetMaterial stores a material, new or changed.
func (r *Runner) SetMaterial(ctx context.Context, m routines.Material, who string) (routines.Material, error) {
	if err := m.Validate(); err != nil {
		return m, err
	}
	_, err := r.Book.Commit(ctx, logbook.Step{Material: &m,
		Events: []logbook.Event{{Kind: "material changed", Name: m.ID, Who: who, Body: mustJSON(m)}}})
	if err != nil {
		return m, fmt.Errorf("store the material: %w", err)
	}
	return m, nil
}

// wireView shows a printer's wire in the runner's terms.
type wireView struct{ wire *serialio.Wire }

func (w wireView) Since(n int64) []WireLine {
	lines := w.wire.Since(n)
	out := make([]WireLine, len(lines))
	for i, l := range lines {
		out[i] = WireLine(l)
	}
	return out
}

func (w wireView) Changed() <-chan struct{} { return w.wire.Changed() }

func (b *bench) wire() Wire { return wireView{b.machine.Wire()} }

// Wire is the live record of a printer's line.
func (r *Runner) Wire(printer string) (Wire, error) {
	b, err := r.bench(printer)
	if err != nil {
		return nil, err
	}
	return b.wire(), nil
}
