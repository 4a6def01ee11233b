package logbook

import (
	"context"
	"encoding/json"
	"errors"
	"reflect"
	"testing"

	"fettle/routines"
)

func TestAStepIsFilledInAndReadBack(t *testing.T) {
	b := newBook(t)
	run := benchRun(t, b)
	if run.ID != "r1" || run.Printer != "p1" || run.BegunMS == 0 || run.EndedMS != 0 {
		t.Fatalf("the run was begun as %+v", run)
	}
	value, u95 := 95.88, 0.42
	done := commit(t, b, Step{
		Material: &routines.Material{Name: "Invented material", NozzleC: 210, Invented: true},
		Run:      &RunRecord{ID: run.ID, State: "finished", Finding: json.RawMessage(`{"kind":"change"}`)},
		WireTail: []byte("> M503\n< ok\n"),
		Events:   []Event{{Kind: "done", Name: "write", Body: json.RawMessage(`{"standing":"verified"}`)}, {Kind: "run_ended", Name: "finished"}},
		Entries: []Entry{{SetupVersion: 1, Material: "m1", Who: "Ada",
			Entry: routines.Entry{Kind: "steps_per_mm", Value: &value, Unit: "steps/mm", U95: &u95, Standing: routines.Verified, Body: json.RawMessage(`{"old":93}`)}}},
		Owe: []Owed{{What: "heat", Restore: []string{"M104 S0"}}},
	})
	entries, err := b.Entries(t.Context(), Filter{Printer: "p1"})
	if err != nil || !reflect.DeepEqual(entries, done.Entries) {
		t.Errorf("entries: stored %+v, read %+v, %v", done.Entries, entries, err)
	}
	events, err := b.Events(t.Context(), Filter{Run: run.ID, After: 1})
	if err != nil || !reflect.DeepEqual(events, done.Events) {
		t.Errorf("events: stored %+v, read %+v, %v", done.Events, events, err)
	}
	stored, err := b.Run(t.Context(), run.ID)
	if err != nil || !reflect.DeepEqual(stored, *done.Run) || stored.EndedMS < stored.BegunMS || stored.Routine != "feed_check" {
		t.Errorf("run: stored %+v, read %+v, %v", done.Run, stored, err)
	}
	if tail, err := b.WireTail(t.Context(), run.ID); err != nil || string(tail) != "> M503\n< ok\n" {
		t.Errorf("wire tail: %q, %v", tail, err)
	}
	if owed, err := b.Owed(t.Context(), ""); err != nil || !reflect.DeepEqual(owed, done.Owe) {
		t.Errorf("owed: stored %+v, read %+v, %v", done.Owe, owed, err)
	}
	if b.Last() != done.Events[1].Seq || done.Entries[0].Seq != b.Last() {
		t.Errorf("the newest event is %d, the book says %d", done.Events[1].Seq, b.Last())
	}
}

func TestAStepIsWholeOrAbsent(t *testing.T) {
	b := newBook(t)
	run := benchRun(t, b)
	before := b.Last()
	_, err := b.Commit(t.Context(), Step{
		Run:     &RunRecord{ID: run.ID, State: "finished"},
		Events:  []Event{{Kind: "done"}},
		Entries: []Entry{{Material: "no such material", Entry: routines.Entry{Kind: "ratio"}}},
	})
	if !errors.Is(err, ErrRefused) || errors.Is(err, ErrStore) {
		t.Fatalf("an entry about a material that is not there: %v", err)
	}
	if stored, err := b.Run(t.Context(), run.ID); err != nil || stored.State != "underway" {
		t.Errorf("the run is %+v, %v", stored, err)
	}
	if events, err := b.Events(t.Context(), Filter{After: before}); err != nil || len(events) != 0 || b.Last() != before {
		t.Errorf("the refused step left %v, %v", events, err)
	}
	if next := commit(t, b, Step{Events: []Event{{Kind: "note"}}}); next.Events[0].Seq != before+1 {
		t.Errorf("the next event has the number %d", next.Events[0].Seq)
	}
}

func TestCommitLeavesTheCallersStepAlone(t *testing.T) {
	b := newBook(t)
	mine := Step{Printer: &Printer{Name: "Invented"}, Events: []Event{{Kind: "note"}}}
	commit(t, b, mine)
	if mine.Printer.ID != "" || mine.Events[0].Seq != 0 {
		t.Errorf("the caller's step was filled in: %+v", mine)
	}
}

func TestAContextThatEndsIsNoFailureOfTheStore(t *testing.T) {
	b := newBook(t)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := b.Commit(ctx, Step{Events: []Event{{Kind: "note"}}})
	if !errors.Is(err, context.Canceled) || errors.Is(err, ErrStore) {
		t.Errorf("got %v", err)
	}
}

func TestChangedTellsAfterTheCommit(t *testing.T) {
	b := newBook(t)
	changed, before := b.Changed(), b.Last()
	commit(t, b, Step{Events: []Event{{Kind: "note"}}})
	select {
	case <-changed:
	default:
		t.Error("nobody was told")
	}
	if events, err := b.Events(t.Context(), Filter{After: before}); err != nil || len(events) != 1 {
		t.Errorf("told of %v, %v", events, err)
	}
	changed = b.Changed()
	if _, err := b.Commit(t.Context(), Step{Paid: []Paid{{"p9", "heat"}}, Run: &RunRecord{ID: "r9"}}); !errors.Is(err, ErrNotFound) {
		t.Errorf("a run that is not there: %v", err)
	}
	select {
	case <-changed:
		t.Error("told of a step that was refused")
	default:
	}
}
