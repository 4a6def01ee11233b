package standin

import (
	"fmt"
	"slices"
	"testing"
)

// What is asked for piece by piece is what a snapshot has of it, however much has been forgotten since.
func TestObeyedSinceAgreesWithASnapshot(t *testing.T) {
	f := New(Profile{BootTime: -1})
	var pieces []Obeyed
	seen := 0
	for i := range kept + 500 {
		f.Hear(fmt.Appendf(nil, "M118 %d\n", i))
		f.Say()
		if i%97 == 0 {
			var some []Obeyed
			some, seen = f.ObeyedSince(seen, nil)
			pieces = append(pieces, some...)
		}
	}
	some, total := f.ObeyedSince(seen, nil)
	pieces = append(pieces, some...)
	s := f.Snapshot()
	if total != s.ObeyedTotal || len(pieces) != kept+500 || !slices.Equal(pieces[500:], s.Obeyed) {
		t.Errorf("%d of %d pieces, %d in all", len(pieces), kept+500, total)
	}
	if all, _ := f.ObeyedSince(0, nil); !slices.Equal(all, s.Obeyed) {
		t.Errorf("from the beginning it gives %d, a snapshot %d", len(all), len(s.Obeyed))
	}
	if none, _ := f.ObeyedSince(total, nil); len(none) != 0 {
		t.Errorf("since now it gives %v", none)
	}
	f.Reset()
	if f.Resets() != 1 {
		t.Errorf("reset %d times", f.Resets())
	}
}
