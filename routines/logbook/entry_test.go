package logbook

import (
	"path/filepath"
	"testing"

	"fettle/routines"
)

// What was never written takes nobody's place, and nothing later takes its own.
func TestAValueThatWasNotWrittenSupersedesNothing(t *testing.T) {
	b := openAt(t, filepath.Join(t.TempDir(), "logbook.db"))
	supersedes := func(standing string) int64 {
		t.Helper()
		done, err := b.Commit(t.Context(), Step{Printer: &Printer{ID: "p1"}, Events: []Event{{Kind: "note"}},
			Entries: []Entry{{Printer: "p1", Entry: routines.Entry{Kind: "steps_per_mm", Standing: standing}}}})
		if err != nil {
			t.Fatal(err)
		}
		return done.Entries[0].Supersedes
	}
	first := supersedes(routines.Verified)
	declined := supersedes(routines.NotWritten)
	third := supersedes(routines.Verified)
	if first != 0 || declined != 0 || third != 1 {
		t.Errorf("they supersede %d, %d, %d; want 0, 0 and the first", first, declined, third)
	}
}
