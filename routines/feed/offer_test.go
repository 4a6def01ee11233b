package feed

import (
	"strings"
	"testing"

	"fettle/serialio/gcode"
)

// What the comparison itself has lost is said before anyone chooses.
func TestWhatCannotBeSetAgainIsSaid(t *testing.T) {
	differences := []gcode.Difference{{Word: "M204", Letter: "P"}, {Word: "M145", Letter: "H", Lost: true}}
	q := askDiffers(differences)
	if len(q.Warning) != 1 || !strings.Contains(q.Warning[0], "M145 H") || strings.Contains(q.Warning[0], "M204") {
		t.Errorf("warnings %q; want M145 H named, and it alone", q.Warning)
	}
	if q := askDiffers(differences[:1]); len(q.Warning) != 0 {
		t.Errorf("nothing is lost, and %q is said", q.Warning)
	}
}
