package logbook

import (
	"errors"
	"testing"
)

func TestAFingerprintIsKeptThroughAChangeOfThePrinter(t *testing.T) {
	b := newBook(t)
	p := commit(t, b, Step{Printer: &Printer{Name: "Invented", Port: "/dev/x", Baud: 250000, DTRLow: true}}).Printer
	if got, err := b.Printer(t.Context(), p.ID); err != nil || got.Fingerprint != nil || !got.DTRLow || got.RTSLow {
		t.Errorf("as added: %+v, %v", got, err)
	}
	said := Fingerprint{Firmware: "Invented 1.0", Machine: `a "machine"`, UUID: "u-1"}
	commit(t, b, Step{Fingerprint: &FingerprintOf{p.ID, said}})
	p.Name, p.DTRLow, p.RTSLow, p.Fingerprint = "Renamed", false, true, &Fingerprint{Firmware: "not stored this way"}
	commit(t, b, Step{Printer: p})
	got, err := b.Printer(t.Context(), p.ID)
	if err != nil || got.Fingerprint == nil || *got.Fingerprint != said || got.Name != "Renamed" || got.DTRLow || !got.RTSLow {
		t.Errorf("as changed: %+v, %v", got, err)
	}
	commit(t, b, Step{Fingerprint: &FingerprintOf{Printer: p.ID}}) // one that says nothing of itself has been met, too
	if all, err := b.Printers(t.Context()); err != nil || len(all) != 1 || all[0].Fingerprint == nil || *all[0].Fingerprint != (Fingerprint{}) {
		t.Errorf("one that says nothing: %+v, %v", all, err)
	}
	if _, err := b.Commit(t.Context(), Step{Fingerprint: &FingerprintOf{"nobody", said}}); !errors.Is(err, ErrNotFound) {
		t.Errorf("of nobody: %v", err)
	}
}
