package machine

import (
	"errors"
	"strings"
	"testing"
	"testing/synctest"
)

// A program that goes on where the one before ended may rise by a little: the printer is asked where that was. One that is too
// long from there is refused all the same, and so is one whose printer does not say.
func TestAProgramGoesOnWhereTheHeadStands(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench()
		m := b.machine(1)
		b.z = 3.3
		if done, err := m.Stream(t.Context(), programOf(t, "G1 Z3.55 F300"), nil); err != nil || done.Lines != 1 {
			t.Errorf("a rise of 0.25 mm: %+v, %v", done, err)
		}
		var refused *RefusedLine
		if _, err := m.VetHere(t.Context(), programOf(t, "G1 Z3.8 F300", "G1 Z103.8 F300")); !errors.As(err, &refused) || refused.Line != 2 || !strings.Contains(refused.Why, "20 s") {
			t.Errorf("a rise of 100 mm: %v", err)
		}
		b.hook = func(block string) ([]string, error, bool) { return nil, nil, block == "M114" }
		if _, err := m.VetHere(t.Context(), programOf(t, "G1 Z3.8 F300")); !errors.As(err, &refused) || refused.Line != 1 {
			t.Errorf("from nobody knows where: %v", err)
		}
	})
}
