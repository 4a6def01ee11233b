package spool_test

import (
	"flag"
	"slices"
	"testing"

	"fettle/routines"
	"fettle/routines/replay"
)

var update = flag.Bool("update", false, "write testdata anew")

// What page and scripts read must not change by accident: the questions of a whole run with one slip, its finding and its
// entry.
func TestRunAsJSON(t *testing.T) {
	wrong := slices.Clone(even)
	wrong[6] = 1.47
	b := &bench{}
	b.read = func(q routines.Question) float64 {
		if s := seen(q); s.Again {
			return even[s.Reading-1]
		}
		return wrong[seen(q).Reading-1]
	}
	finding := b.run(t, begin(t, fitted(1.75), `{"spool":"plum, invented"}`))
	replay.Golden(t, "testdata/diameter.json", *update, replay.Whole{Questions: b.questions, Finding: finding, Entries: b.entries})
}
