package docket_test

import (
	"errors"
	"testing"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/melt"
)

// TestALengthIsTypedUpToTheCeiling: 2 mm direct and 1 mm of 2.85 filament, 8 and 10 with a tube, always a quarter of a
// millimetre short of the cold side (common practice, no source); and as far as a ladder goes unasked.
func TestALengthIsTypedUpToTheCeiling(t *testing.T) {
	for _, c := range []struct {
		drive                   string
		filament, coldSide, top float64
	}{
		{"direct", 1.75, 0, 2}, {"direct", 2.85, 0, 1}, {"bowden", 1.75, 0, 8}, {"bowden", 2.85, 0, 10},
		{"direct", 1.75, 1.75, 1.5}, {"direct", 1.75, 2, 1.75}, {"direct", 1.75, 2.25, 2}, {"bowden", 1.75, 6, 5.75}, {"bowden", 2.85, 30, 10},
	} {
		b := newBook()
		b.setup.Drive, b.setup.FilamentDiameterMM, b.setup.ColdSideMM = c.drive, c.filament, c.coldSide
		d := b.docket()
		_, err := d.CheckTyped(docket.RetractionLength, c.top)
		_, over := d.CheckTyped(docket.RetractionLength, c.top+0.01)
		var refused *routines.FieldError
		if err != nil || !errors.As(over, &refused) || refused.Field != "value" {
			t.Errorf("%+v: %v, and beyond it %v", c, err, over)
		}
		if s := melt.StartOf(melt.Path{Tube: c.drive == "bowden", FilamentMM: c.filament, ColdSideMM: c.coldSide}); s.CeilingMM != d.Row(docket.RetractionLength).Typed.Max {
			t.Errorf("%+v: a ladder has its ceiling at %g mm", c, s.CeilingMM)
		}
	}
}
