package logbook

import (
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"pgregory.net/rapid"
)

// steppedClock is a wall clock that a test sets as it likes.
type steppedClock struct {
	wall    time.Time
	trusted bool
}

func (c *steppedClock) read() (time.Time, bool) { return c.wall, c.trusted }

func withClock(c *steppedClock) func(*settings) { return func(s *settings) { s.clock = c.read } }

func TestALaterSyncDatesWhatCameBefore(t *testing.T) {
	path := filepath.Join(t.TempDir(), "logbook.db")
	synctest.Test(t, func(t *testing.T) {
		noon := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
		clock := &steppedClock{wall: time.Unix(0, 0)} // a board without a battery-backed clock
		lost := openAt(t, path, withClock(clock))
		commit(t, lost, Step{Events: []Event{{Kind: "note", Name: "of a boot that never knew"}}})
		b := openAt(t, path, withClock(clock))
		commit(t, b, Step{Events: []Event{{Kind: "note", Name: "before the sync"}}})
		time.Sleep(90 * time.Second)
		clock.wall, clock.trusted = noon, true
		commit(t, b, Step{Events: []Event{{Kind: "note", Name: "at the sync"}}})
		time.Sleep(time.Second)
		clock.wall = noon.Add(time.Hour) // set once more: a trusted stamp stays as it was
		commit(t, b, Step{Events: []Event{{Kind: "note", Name: "after it was set again"}}})

		events, err := b.Events(t.Context(), Filter{})
		if err != nil || len(events) != 4 {
			t.Fatal(events, err)
		}
		for i, want := range []struct {
			wall    time.Time
			trusted bool
		}{{time.Unix(0, 0), false}, {noon.Add(-90 * time.Second), true}, {noon, true}, {noon.Add(time.Hour), true}} {
			if e := events[i]; e.WallMS != want.wall.UnixMilli() || e.WallTrusted != want.trusted {
				t.Errorf("%s: dated %s, trusted %t", e.Name, time.UnixMilli(e.WallMS).UTC(), e.WallTrusted)
			}
		}
		var stored int64
		if err := b.reader.QueryRow(`SELECT wall_ms FROM event WHERE name = 'before the sync'`).Scan(&stored); err != nil || stored != 0 {
			t.Errorf("the event itself was changed to %d, %v", stored, err)
		}
	})
}

// A wall clock that jumps years either way, at any event, changes no order and no monotonic time.
func TestNoJumpOfTheClockReordersAnything(t *testing.T) {
	b, clock := newBookWithClock(t)
	rapid.Check(t, func(rt *rapid.T) {
		after, monoMS := b.Last(), int64(0)
		jumps := rapid.SliceOfN(rapid.IntRange(-50*365, 20*365), 2, 6).Draw(rt, "days")
		for _, days := range jumps {
			clock.wall = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC).AddDate(0, 0, days)
			clock.trusted = rapid.Bool().Draw(rt, "trusted")
			commit(t, b, Step{Events: []Event{{Kind: "note"}}})
		}
		events, err := b.Events(t.Context(), Filter{After: after})
		if err != nil || len(events) != len(jumps) {
			rt.Fatal(events, err)
		}
		for i, e := range events {
			if e.Seq != after+int64(i)+1 || e.MonoMS < monoMS {
				rt.Fatalf("event %d of %d has number %d and time %d after %d ms", i, len(events), e.Seq, e.MonoMS, monoMS)
			}
			monoMS = e.MonoMS
		}
	})
}

func newBookWithClock(t *testing.T) (*Book, *steppedClock) {
	clock := &steppedClock{}
	return newBook(t, withClock(clock)), clock
}

func TestTheDefaultClockIsNotTrusted(t *testing.T) {
	b, err := Open(t.Context(), filepath.Join(t.TempDir(), "logbook.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	if done := commit(t, b, Step{Events: []Event{{Kind: "note"}}}); done.Events[0].WallTrusted {
		t.Error("nobody vouched for the time")
	}
}
