package runner_test

import (
	"fmt"
	"testing"

	"fettle/routines"
	"fettle/routines/docket"
)

// A printer whose lengths are mm³ is given the filament's diameter with the rest, stored and proved; one whose lengths are mm
// never hears of it, for it would take them for mm³ from then on.
func TestADiameterIsHandedOverWhereLengthsAreVolumes(t *testing.T) {
	for _, c := range []struct {
		found, lines   string
		on, diameterMM float64
	}{
		{"M200 D1.75", "[M207 S0.8 F2100 Z0 M208 S0 F1800 M200 D1.71]", 1, 1.71},
		{"M200 S0 D1.75", "[M207 S0.8 F2100 Z0 M208 S0 F1800]", 0, 1.75},
	} {
		inBubble(t, slow(), func(s *shop) {
			s.tuned()
			s.typesValue(docket.FilamentDiameter, 1.71)
			done := s.handOver()
			if done.Written.Standing != routines.Verified || fmt.Sprint(done.Lines) != c.lines || len(done.Docket.HandedOver.Changed) > 0 {
				t.Errorf("%s: %+v %v %+v", c.found, done.Written, done.Lines, done.Docket.HandedOver)
			}
			for _, in := range []func(string, byte) float64{s.inUse, s.inStore} {
				if in("M200", 'S') != c.on || in("M200", 'D') != c.diameterMM || in("M207", 'S') != 0.8 {
					t.Errorf("%s: M200 S%g D%g, M207 S%g", c.found, in("M200", 'S'), in("M200", 'D'), in("M207", 'S'))
				}
			}
			if got := s.differs(); got != "" {
				t.Errorf("%s: differs: %s", c.found, got)
			}
			s.atPeace()
		}, c.found, "M500")
	}
}
