package logbook

import (
	"errors"
	"path/filepath"
	"testing"
	"testing/fstest"
	"time"
)

// next is a schema after the newest, made up for the tests.
func next(script string) func(*settings) {
	return func(s *settings) {
		s.migrations = append(s.migrations, migration{version: len(s.migrations) + 1, file: "made up", sql: script})
	}
}

const addMood = `CREATE TABLE mood (event INTEGER REFERENCES event (seq), mood TEXT NOT NULL) STRICT;
	INSERT INTO mood SELECT seq, 'calm' FROM event;`

func TestMigratingLeavesADatedCopy(t *testing.T) {
	path := filepath.Join(t.TempDir(), "logbook.db")
	clock := &steppedClock{wall: time.Date(2026, 3, 1, 12, 30, 0, 0, time.UTC)}
	old := openAt(t, path, withClock(clock))
	commit(t, old, Step{Events: []Event{{Kind: "note", Name: "before"}}})
	newer := openAt(t, path, withClock(clock), next(addMood))
	var moods int
	if err := newer.reader.QueryRow(`SELECT count(*) FROM mood, store WHERE schema = 4`).Scan(&moods); err != nil || moods != 1 {
		t.Errorf("%d moods, %v", moods, err)
	}
	if newer.StoreID() != old.StoreID() {
		t.Error("migrating made it another store")
	}
	kept := openAt(t, path+".schema-3.20260301T123000Z")
	if events, err := kept.Events(t.Context(), Filter{}); err != nil || len(events) != 1 || events[0].Name != "before" {
		t.Errorf("the copy holds %v, %v", events, err)
	}
	if kept.StoreID() == old.StoreID() {
		t.Error("the copy takes itself for the store")
	}
}

func TestAMigrationThatFailsChangesNothingAndMayBeRepeated(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "logbook.db")
	clock := &steppedClock{wall: time.Unix(1e9, 0)}
	commit(t, openAt(t, path, withClock(clock)), Step{Events: []Event{{Kind: "note"}}})
	s := settings{clock: clock.read, migrations: openSettings(t).migrations}
	next(addMood + `CREATE TABLE mood (again TEXT)`)(&s)
	for range 2 {
		if _, err := open(t.Context(), path, s); !errors.Is(err, ErrStore) {
			t.Fatalf("got %v", err)
		}
	}
	b := openAt(t, path, next(addMood))
	if events, err := b.Events(t.Context(), Filter{}); err != nil || len(events) != 1 {
		t.Errorf("read %v, %v", events, err)
	}
	if copies, err := filepath.Glob(path + ".schema-3.*"); err != nil || len(copies) != 3 {
		t.Errorf("the copies are %v, %v", copies, err)
	}
	if parts, _ := filepath.Glob(path + "*.part"); len(parts) != 0 {
		t.Errorf("left behind: %v", parts)
	}
}

func openSettings(t *testing.T) settings {
	known, err := embedded()
	if err != nil {
		t.Fatal(err)
	}
	return settings{clock: untrustedClock, migrations: known}
}

func TestSchemaFilesAreNumberedWithoutAGap(t *testing.T) {
	for _, files := range []fstest.MapFS{
		{"schema/0001_a.sql": {}, "schema/0003_b.sql": {}},
		{"schema/0001_a.sql": {}, "schema/0001_b.sql": {}},
		{"schema/first.sql": {}},
	} {
		if _, err := migrationsIn(files); err == nil {
			t.Errorf("%v was accepted", files)
		}
	}
}

func TestACopyIsWholeAndAnotherStore(t *testing.T) {
	b := newBook(t)
	run := benchRun(t, b)
	path := filepath.Join(t.TempDir(), "copy.db")
	if err := errors.Join(b.Copy(t.Context(), path), b.Check(t.Context())); err != nil {
		t.Fatal(err)
	}
	copied := openAt(t, path)
	if got, err := copied.Run(t.Context(), run.ID); err != nil || got.Routine != run.Routine || copied.Last() != b.Last() {
		t.Errorf("the copy holds %+v, %v", got, err)
	}
	if copied.StoreID() == b.StoreID() {
		t.Error("the copy has the id of the store")
	}
	if err := b.Copy(t.Context(), path); err == nil {
		t.Error("a file was overwritten")
	}
}
