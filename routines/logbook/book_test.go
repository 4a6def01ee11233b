package logbook

import (
	"encoding/json"
	"path/filepath"
	"testing"

	"fettle/routines"
)

// openAt opens a book that is closed with the test.
func openAt(t testing.TB, path string, change ...func(*settings)) *Book {
	t.Helper()
	known, err := embedded()
	if err != nil {
		t.Fatal(err)
	}
	s := settings{clock: untrustedClock, migrations: known}
	for _, c := range change {
		c(&s)
	}
	b, err := open(t.Context(), path, s)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := b.Close(); err != nil {
			t.Error(err)
		}
	})
	return b
}

func newBook(t testing.TB, change ...func(*settings)) *Book {
	t.Helper()
	return openAt(t, filepath.Join(t.TempDir(), "logbook.db"), change...)
}

// commit stores a step that must be accepted.
func commit(t testing.TB, b *Book, s Step) Step {
	t.Helper()
	done, err := b.Commit(t.Context(), s)
	if err != nil {
		t.Fatal(err)
	}
	return done
}

// benchRun is a printer with a run on it: what most tests begin with. All names are invented.
func benchRun(t testing.TB, b *Book) RunRecord {
	t.Helper()
	done := commit(t, b, Step{
		Printer: &Printer{Name: "Invented one", Port: "/dev/serial/by-id/invented", Baud: 115200},
		Setup:   &SetupOf{Setup: routines.Setup{Drive: "direct", FilamentDiameterMM: 1.75, NozzleMaxC: 260}},
	})
	begun := commit(t, b, Step{
		Run:    &RunRecord{Printer: done.Printer.ID, Routine: "feed_check", Program: "1", State: "underway", Who: "Ada", Begin: json.RawMessage(`{"inputs":{}}`)},
		Events: []Event{{Kind: "run_begun", Who: "Ada"}},
	})
	return *begun.Run
}
