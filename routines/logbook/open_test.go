package logbook

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

func TestPragmasAreReadBack(t *testing.T) {
	for _, wrong := range [][]string{
		{"busy_timeout(5000)", "journal_mode(WAL)", "synchronous(NORMAL)", "foreign_keys(1)"},
		{"busy_timeout(5000)", "jurnal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)"}, // misspelt: SQLite says nothing
		{"busy_timeout(50)", "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)"},
		{"busy_timeout(5000)", "journal_mode(DELETE)", "synchronous(FULL)", "foreign_keys(0)"},
	} {
		path := filepath.Join(t.TempDir(), "logbook.db")
		if db, err := connect(t.Context(), dsn(path, "", "rwc", wrong...), 1, writerMust); err == nil {
			db.Close()
			t.Errorf("%v was accepted", wrong)
		}
	}
}

func TestEveryConnectionHasItsPragmas(t *testing.T) {
	b := newBook(t)
	for range readers { // all of the pool at once
		conn, err := b.reader.Conn(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		if _, err := conn.ExecContext(t.Context(), `UPDATE store SET schema = 7`); err == nil {
			t.Error("a reader wrote")
		}
		for pragma, want := range readerMust {
			var got string
			if err := conn.QueryRowContext(t.Context(), "PRAGMA "+pragma).Scan(&got); err != nil || got != want {
				t.Errorf("%s is %s, %v", pragma, got, err)
			}
		}
	}
}

func TestAnOddPathIsOpened(t *testing.T) {
	path := filepath.Join(t.TempDir(), "what? 100%41 #1&mode=ro.db")
	commit(t, openAt(t, path), Step{Events: []Event{{Kind: "note"}}})
	if _, err := os.Stat(path); err != nil {
		t.Error(err)
	}
}

func TestAnotherDatabaseIsLeftAlone(t *testing.T) {
	path := filepath.Join(t.TempDir(), "other.db")
	raw(t, path, `CREATE TABLE recipe (name TEXT)`)
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Open(t.Context(), path); !errors.Is(err, ErrNotAStore) {
		t.Errorf("got %v", err)
	}
	if after, err := os.ReadFile(path); err != nil || string(after) != string(before) {
		t.Error("the file was changed", err)
	}
}

func TestADamagedFileIsSaidToBe(t *testing.T) {
	path := filepath.Join(t.TempDir(), "logbook.db")
	if err := os.WriteFile(path, []byte(strings.Repeat("no database at all ", 1000)), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(t.Context(), path); !errors.Is(err, ErrStore) {
		t.Errorf("got %v", err)
	}
}

func TestANewerSchemaIsOnlyRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "logbook.db")
	b := openAt(t, path)
	commit(t, b, Step{Events: []Event{{Kind: "note"}}})
	id := b.StoreID()
	b.Close()
	raw(t, path, `UPDATE store SET schema = 99; ALTER TABLE event ADD COLUMN mood TEXT`)
	newer, err := Open(t.Context(), path)
	if !errors.Is(err, ErrNewerSchema) || newer == nil {
		t.Fatalf("opened as %v, %v", newer, err)
	}
	defer newer.Close()
	if events, err := newer.Events(t.Context(), Filter{}); err != nil || len(events) != 1 || newer.Last() != 1 || newer.StoreID() != id {
		t.Errorf("read %v, %v, last %d", events, err, newer.Last())
	}
	_, errCommit := newer.Commit(t.Context(), Step{Events: []Event{{Kind: "note"}}})
	_, _, errAnswer := newer.Answer(t.Context(), answerOf("r1", 1, "Ada"))
	_, errClaim := newer.Claim(t.Context(), "k", "POST")
	for _, err := range []error{errCommit, errAnswer, errClaim, newer.Settle(t.Context(), "k", 200, "", nil)} {
		if !errors.Is(err, ErrNewerSchema) {
			t.Errorf("a write: %v", err)
		}
	}
}

// SQLite says "locked" of a wait that was given up, and of one that lasted too long: these are told apart.
func TestAWaitThatIsGivenUpIsNotLocked(t *testing.T) {
	path := filepath.Join(t.TempDir(), "logbook.db")
	synctest.Test(t, func(t *testing.T) {
		b, other := openAt(t, path), openAt(t, path)
		tx, err := other.writer.BeginTx(t.Context(), nil) // holds the lock
		if err != nil {
			t.Fatal(err)
		}
		defer tx.Rollback()
		step := Step{Events: []Event{{Kind: "note"}}}
		ctx, cancel := context.WithTimeout(t.Context(), time.Second)
		defer cancel()
		begun := time.Now()
		if _, err := b.Commit(ctx, step); !errors.Is(err, context.DeadlineExceeded) || errors.Is(err, ErrStore) {
			t.Errorf("given up: %v", err)
		}
		if waited := time.Since(begun); waited < time.Second || waited > 2*time.Second {
			t.Errorf("given up after %s", waited)
		}
		begun = time.Now()
		if _, err := b.Commit(t.Context(), step); !errors.Is(err, ErrStore) {
			t.Errorf("waited too long: %v", err)
		}
		if waited := time.Since(begun); waited < 5*time.Second || waited > 6*time.Second {
			t.Errorf("waited for %s", waited)
		}
	})
}

// raw runs SQL on a file behind the book's back.
func raw(t testing.TB, path, script string) {
	t.Helper()
	db, err := sql.Open("sqlite3", "file:"+path)
	if err != nil {
		t.Fatal(err)
	}
	_, err = db.Exec(script)
	if err := errors.Join(err, db.Close()); err != nil {
		t.Fatal(err)
	}
}
