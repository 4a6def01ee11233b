package docket_test

import (
	"fmt"
	"strings"
	"testing"

	"fettle/routines"
	"fettle/routines/docket"
)

// A diameter that a run measured says so, and is what sections are reckoned with until something speaks against it: another
// spool of this material, or another size in the setup. What befell another material is of no account.
func TestADiameterIsReckonedWithWhileItHolds(t *testing.T) {
	b := newBook()
	reckoned := func() string { return fmt.Sprint(b.docket().FilamentMM(b.setup.FilamentDiameterMM)) }
	if reckoned() != "1.75" || b.docket().Row(docket.FilamentDiameter).From.Source != docket.OfSetup {
		t.Errorf("never measured: %s", reckoned())
	}
	b.found(docket.FilamentDiameter, 1.713, 0.024, "mm", "r7")
	if r := b.docket().Row(docket.FilamentDiameter); reckoned() != "1.713" || r.From.Source != docket.Measured || r.From.How != "measured by run r7" || *r.U95 != 0.024 {
		t.Errorf("measured: %s %+v", reckoned(), r)
	}
	b.changed("new_spool", "grey-petg")
	b.changed("idler_tension", "")
	if reckoned() != "1.713" {
		t.Errorf("after changes that are not about it: %s", reckoned())
	}
	b.changed("new_spool", b.plum.ID)
	if r := b.docket().Row(docket.FilamentDiameter); reckoned() != "1.75" || r.Fresh || r.Again != "filament_diameter" {
		t.Errorf("after a new spool: %s %+v", reckoned(), r)
	}
	b.typed(docket.FilamentDiameter, 1.74)
	if r := b.docket().Row(docket.FilamentDiameter); reckoned() != "1.74" || r.From.How != "typed by a person" {
		t.Errorf("typed: %s %+v", reckoned(), r)
	}
	b.setup.FilamentDiameterMM = 2.85
	if reckoned() != "2.85" {
		t.Errorf("in a printer for 2.85 mm: %s", reckoned())
	}
}

// A slicing program is given it, by whatever it was found.
func TestADiameterIsHandedOver(t *testing.T) {
	b := tuned()
	b.found(docket.FilamentDiameter, 1.713, 0.024, "mm", "r7")
	b.handedTo(docket.SlicingProgram, "", b.plum.ID)
	given := fmt.Sprint(b.docket().For(docket.SlicingProgram))
	if want := "{filament_diameter_mm 1.713}"; !strings.Contains(given, want) || len(b.docket().HandedOver.Changed) > 0 {
		t.Errorf("%s in %s", want, given)
	}
	b.found(docket.FilamentDiameter, 1.722, 0.024, "mm", "r8")
	if got := fmt.Sprint(b.docket().HandedOver.Changed); got != "[filament_diameter_mm]" {
		t.Errorf("changed: %s", got)
	}
}

// A firmware is given a diameter by M200 where its lengths are mm³ already, and never otherwise: the word would make them so.
func TestAFirmwareIsGivenADiameterForVolumesAlone(t *testing.T) {
	for report1, want := range map[string]string{
		"M200 S1 D1.75": "M200 D1.713", "M200 D1.75": "M200 D1.713", // and of a firmware that has no S (from memory)
		"M200 S0 D1.75": "", "M200 D0": "", "M200 S1 D0": "", "": "",
	} {
		b := tuned()
		b.found(docket.FilamentDiameter, 1.713, 0.024, "mm", "r7")
		h := docket.HandoverBody{To: docket.Firmware, Values: b.docket().For(docket.Firmware)}
		h.Take(report("M207 S1.00 F1800.00", report1))
		lines := docket.Lines(h.Numbers())
		if got := strings.Join(lines[1:], "; "); got != want || !strings.HasPrefix(lines[0], "M207 S0.8") {
			t.Errorf("%q: %q, want %q", report1, lines, want)
		}
		if strings.Contains(b.docket().Snippet(), "M200") {
			t.Error("the lines for the start of any print turn lengths into volumes")
		}
		b.add(docket.Entry{Material: b.plum.ID, Entry: routines.Entry{Kind: docket.KindHandover, Standing: routines.Verified, Body: raw(h)}})
		b.found(docket.FilamentDiameter, 1.722, 0.024, "mm", "r8")
		if got := fmt.Sprint(b.docket().HandedOver.Changed); (got == "[filament_diameter_mm]") != (want != "") {
			t.Errorf("%q: changed %s", report1, got)
		}
	}
}

// What nobody measured is not given to a firmware that may know better.
func TestAnAssumedDiameterIsNotGivenToAFirmware(t *testing.T) {
	b := newBook()
	b.found(docket.RetractionLength, 0.8, 0.1, "mm", "r4")
	if got := fmt.Sprint(b.docket().For(docket.Firmware)); strings.Contains(got, docket.FilamentDiameter) {
		t.Error(got)
	}
}
