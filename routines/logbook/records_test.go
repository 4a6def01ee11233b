package logbook

import (
	"errors"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"fettle/routines"
)

func TestOwedAgainKeepsWhatWasFoundFirst(t *testing.T) {
	b := newBook(t)
	run := benchRun(t, b)
	owe := func(lines ...string) Step {
		return Step{Owe: []Owed{{Printer: run.Printer, What: "flow", Restore: lines, Run: run.ID}}}
	}
	commit(t, b, owe("M221 S98"))
	commit(t, b, owe("M221 S100"))
	if owed, err := b.Owed(t.Context(), run.Printer); err != nil || len(owed) != 1 || owed[0].Restore[0] != "M221 S98" {
		t.Errorf("owed is %+v, %v", owed, err)
	}
	both := owe("M221 S95")
	both.Paid = []Paid{{run.Printer, "flow"}}
	commit(t, b, both)
	if owed, err := b.Owed(t.Context(), ""); err != nil || len(owed) != 1 || owed[0].Restore[0] != "M221 S95" {
		t.Errorf("paid and owed in one step is %+v, %v", owed, err)
	}
	commit(t, b, Step{Paid: []Paid{{run.Printer, "flow"}, {run.Printer, "never owed"}}})
	if owed, err := b.Owed(t.Context(), ""); err != nil || len(owed) != 0 {
		t.Errorf("after paying, owed is %+v, %v", owed, err)
	}
}

// Against a model: a map from what an entry is about to the entry that holds.
func TestAnEntrySupersedesTheOneBefore(t *testing.T) {
	b := newBook(t)
	for _, id := range []string{"m1", "m2"} {
		commit(t, b, Step{Material: &routines.Material{ID: id}})
	}
	rapid.Check(t, func(rt *rapid.T) {
		type about struct{ printer, kind, material string }
		holds := map[about]int64{}
		printers := []string{freshPrinter(t, b), freshPrinter(t, b)}
		for range rapid.IntRange(1, 12).Draw(rt, "entries") {
			a := about{rapid.SampledFrom(printers).Draw(rt, "printer"), rapid.SampledFrom([]string{"ratio", "steps"}).Draw(rt, "kind"),
				rapid.SampledFrom([]string{"", "m1", "m2"}).Draw(rt, "material")}
			done := commit(t, b, Step{Events: []Event{{Kind: "done"}}, Entries: []Entry{{Printer: a.printer, Material: a.material, Entry: routines.Entry{Kind: a.kind}}}})
			if e := done.Entries[0]; e.Supersedes != holds[a] {
				rt.Fatalf("%+v supersedes %d, should %d", a, e.Supersedes, holds[a])
			}
			holds[a] = done.Entries[0].ID
		}
		current := 0
		for _, printer := range printers {
			for _, e := range holding(t, b, printer) {
				if current++; holds[about{e.Printer, e.Kind, e.Material}] != e.ID {
					rt.Fatalf("entry %+v is said to hold", e)
				}
			}
		}
		if current != len(holds) {
			rt.Fatalf("%d entries hold, should %d", current, len(holds))
		}
	})
}

// holding lists the entries of a printer, or of all, that no other supersedes.
func holding(t testing.TB, b *Book, printer string) []Entry {
	t.Helper()
	entries, err := b.Entries(t.Context(), Filter{Printer: printer})
	if err != nil {
		t.Fatal(err)
	}
	gone := map[int64]bool{}
	for _, e := range entries {
		gone[e.Supersedes] = true
	}
	return slices.DeleteFunc(entries, func(e Entry) bool { return gone[e.ID] })
}

func freshPrinter(t testing.TB, b *Book) string {
	return commit(t, b, Step{Printer: &Printer{Name: "Invented"}}).Printer.ID
}

func TestAnEntryNeedsAnEvent(t *testing.T) {
	b := newBook(t)
	run := benchRun(t, b)
	if _, err := b.Commit(t.Context(), Step{Entries: []Entry{{Printer: run.Printer, Entry: routines.Entry{Kind: "ratio"}}}}); !errors.Is(err, ErrRefused) {
		t.Errorf("got %v", err)
	}
}

func TestOnePrinterHasOneRun(t *testing.T) {
	b := newBook(t)
	run := benchRun(t, b)
	second := Step{Run: &RunRecord{Printer: run.Printer, Routine: "feed_check", State: "asking"}}
	if _, err := b.Commit(t.Context(), second); !errors.Is(err, ErrRunOpen) {
		t.Errorf("a second run while one is open: %v", err)
	}
	commit(t, b, Step{Run: &RunRecord{ID: run.ID, State: "interrupted", Cause: "the line went away"}})
	if done := commit(t, b, second); done.Run.ID != "r2" {
		t.Errorf("the next run is %s", done.Run.ID)
	}
	open, err := b.Runs(t.Context(), Filter{State: "open"})
	if err != nil || len(open) != 1 || open[0].ID != "r2" {
		t.Errorf("open runs: %+v, %v", open, err)
	}
	all, err := b.Runs(t.Context(), Filter{Printer: run.Printer})
	if err != nil || len(all) != 2 || all[0].ID != "r2" || all[1].Cause != "the line went away" {
		t.Errorf("all runs: %+v, %v", all, err)
	}
}

func TestASetupHasVersions(t *testing.T) {
	b := newBook(t)
	if _, err := b.Setup(t.Context(), "p1"); !errors.Is(err, ErrNotFound) {
		t.Errorf("no setup yet: %v", err)
	}
	run := benchRun(t, b)
	set := func(s routines.Setup) int64 {
		return commit(t, b, Step{Setup: &SetupOf{Printer: run.Printer, Setup: s}}).Setup.Version
	}
	bowden := routines.Setup{Drive: "bowden", FilamentDiameterMM: 1.75, Tube: &routines.Tube{BoreMM: 2, LengthMM: 420}}
	if got := []int64{set(bowden), set(bowden), set(routines.Setup{Drive: "direct"})}; !reflect.DeepEqual(got, []int64{2, 2, 3}) {
		t.Errorf("the versions are %v", got)
	}
	bowden.Version = 2
	kept, err := scanSetup(b.reader.QueryRow(`SELECT body FROM setup WHERE printer = ? AND version = 2`, run.Printer))
	if err != nil || !reflect.DeepEqual(kept, bowden) {
		t.Errorf("version 2 is %+v, %v", kept, err)
	}
	if got, err := b.Setup(t.Context(), run.Printer); err != nil || got.Version != 3 {
		t.Errorf("in force is %+v, %v", got, err)
	}
}

func TestPrintersAndMaterialsChangeInPlace(t *testing.T) {
	b := newBook(t)
	for _, name := range []string{"one", "two"} {
		commit(t, b, Step{Printer: &Printer{Name: name}, Material: &routines.Material{Name: name}})
	}
	changed := commit(t, b, Step{Printer: &Printer{ID: "p1", Name: "moved", Port: "usb", Baud: 250000}, Material: &routines.Material{ID: "m1", Name: "renamed", NozzleC: 215}})
	printers, err := b.Printers(t.Context())
	if err != nil || len(printers) != 2 || !reflect.DeepEqual(printers[0], *changed.Printer) || printers[1].ID != "p2" {
		t.Errorf("printers: %+v, %v", printers, err)
	}
	materials, err := b.Materials(t.Context())
	if err != nil || len(materials) != 2 || !reflect.DeepEqual(materials[0], *changed.Material) || materials[1].ID != "m2" {
		t.Errorf("materials: %+v, %v", materials, err)
	}
	if _, err := b.Material(t.Context(), "m9"); !errors.Is(err, ErrNotFound) {
		t.Errorf("a material that is not there: %v", err)
	}
	if _, err := b.Printer(t.Context(), "p9"); !errors.Is(err, ErrNotFound) {
		t.Errorf("a printer that is not there: %v", err)
	}
}
