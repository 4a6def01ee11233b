package docket_test

import (
	"fmt"
	"strings"
	"testing"

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
