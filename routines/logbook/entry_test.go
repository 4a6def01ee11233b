package logbook

import (
	"path/filepath"
	"testing"
	"time"

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

// An entry is as well dated as its event: also where the clock was set only later in that life of the agent.
func TestAnEntrySaysWhetherItsTimeIsVouchedFor(t *testing.T) {
	path := filepath.Join(t.TempDir(), "logbook.db")
	clock := &steppedClock{wall: time.Unix(0, 0)}
	record := func(b *Book) Entry {
		return commit(t, b, Step{Printer: &Printer{ID: "p1"}, Events: []Event{{Kind: "note"}}, Entries: []Entry{{Printer: "p1", Entry: routines.Entry{Kind: "note"}}}}).Entries[0]
	}
	if e := record(openAt(t, path, withClock(clock))); e.WallTrusted {
		t.Errorf("%+v", e)
	}
	b := openAt(t, path, withClock(clock))
	record(b)
	clock.wall, clock.trusted = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC), true
	if e := record(b); !e.WallTrusted {
		t.Errorf("%+v", e)
	}
	entries, err := b.Entries(t.Context(), Filter{})
	if err != nil || len(entries) != 3 || entries[0].WallTrusted || !entries[1].WallTrusted || !entries[2].WallTrusted || entries[1].WallMS < clock.wall.Add(-time.Hour).UnixMilli() {
		t.Errorf("%+v %v", entries, err)
	}
}
