package logbook

import (
	"errors"
	"fmt"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"
)

func claim(t *testing.T, b *Book, key, fingerprint string, want error) Claim {
	t.Helper()
	c, err := b.Claim(t.Context(), key, fingerprint)
	if !errors.Is(err, want) || (want == nil && err != nil) {
		t.Fatalf("claim %s for %s: %v, should be %v", key, fingerprint, err, want)
	}
	return c
}

func TestAKeyIsCarriedOutOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "logbook.db")
	b := openAt(t, path)
	if !claim(t, b, "k", "POST a", nil).Fresh {
		t.Error("the first claim is not fresh")
	}
	claim(t, b, "k", "POST a", ErrKeyRunning)
	claim(t, b, "k", "POST b", ErrKeyReused)
	for _, body := range []string{`{"run":"r1"}`, `{"run":"r2"}`} { // the second comes too late
		if err := b.Settle(t.Context(), "k", 201, "application/json", []byte(body)); err != nil {
			t.Fatal(err)
		}
	}
	for _, life := range []*Book{b, openAt(t, path)} {
		c := claim(t, life, "k", "POST a", nil)
		if c.Fresh || c.Status != 201 || c.Type != "application/json" || string(c.Body) != `{"run":"r1"}` {
			t.Errorf("settled as %+v %s", c, c.Body)
		}
		claim(t, life, "k", "POST b", ErrKeyReused)
	}
	if err := b.Settle(t.Context(), "never claimed", 200, "", nil); !errors.Is(err, ErrNotFound) {
		t.Errorf("settle what was never claimed: %v", err)
	}
}

func TestAReleasedKeyMayBeTriedAgain(t *testing.T) {
	b := newBook(t)
	claim(t, b, "k", "POST a", nil)
	if err := b.Release(t.Context(), "k"); err != nil {
		t.Fatal(err)
	}
	if !claim(t, b, "k", "POST b", nil).Fresh {
		t.Error("not fresh after release")
	}
	if err := errors.Join(b.Settle(t.Context(), "k", 200, "", nil), b.Release(t.Context(), "k")); err != nil {
		t.Fatal(err)
	}
	if claim(t, b, "k", "POST b", nil).Fresh {
		t.Error("a settled key was released")
	}
}

func TestAClaimCutOffByARestartIsUnknown(t *testing.T) {
	path := filepath.Join(t.TempDir(), "logbook.db")
	claim(t, openAt(t, path), "k", "POST a", nil)
	next := openAt(t, path)
	claim(t, next, "k", "POST b", ErrKeyReused)
	for range 2 {
		claim(t, next, "k", "POST a", ErrKeyUnknown)
	}
	if err := next.Release(t.Context(), "k"); err != nil {
		t.Fatal(err)
	}
	claim(t, next, "k", "POST a", ErrKeyUnknown) // another life's claim is not ours to release
}

func TestASettlementGoesWithItsStep(t *testing.T) {
	b := newBook(t)
	run := benchRun(t, b)
	claim(t, b, "k", "POST a", nil)
	step := Step{
		Run:    &RunRecord{Printer: run.Printer, Routine: "feed_check", State: "underway"},
		Settle: &Settlement{Key: "k", Status: 201, Type: "application/json", Body: func(s Step) ([]byte, error) { return fmt.Appendf(nil, `{"id":%q}`, s.Run.ID), nil }},
	}
	if _, err := b.Commit(t.Context(), step); !errors.Is(err, ErrRunOpen) {
		t.Fatal(err)
	}
	claim(t, b, "k", "POST a", ErrKeyRunning)
	commit(t, b, Step{Run: &RunRecord{ID: run.ID, State: "stopped"}})
	commit(t, b, step)
	if c := claim(t, b, "k", "POST a", nil); c.Fresh || string(c.Body) != `{"id":"r2"}` {
		t.Errorf("settled as %+v %s", c, c.Body)
	}
	step = Step{Events: []Event{{Kind: "note"}}, Settle: &Settlement{Key: "never claimed"}}
	if _, err := b.Commit(t.Context(), step); !errors.Is(err, ErrNotFound) {
		t.Errorf("a step under a key that was never claimed: %v", err)
	}
}

// A key goes only when it is older than a day of running AND not among the newest 10,000.
func TestKeysAreKept(t *testing.T) {
	path := filepath.Join(t.TempDir(), "logbook.db")
	synctest.Test(t, func(t *testing.T) {
		kept := func(b *Book) (n int) {
			if err := b.reader.QueryRow(`SELECT count(*) FROM idempotency`).Scan(&n); err != nil {
				t.Fatal(err)
			}
			return n
		}
		b := openAt(t, path)
		claim(t, b, "oldest", "POST", nil)
		_, err := b.writer.Exec(`WITH RECURSIVE i (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM i WHERE n < 10000)
			INSERT INTO idempotency (key, fingerprint, boot, ran_ms) SELECT 'filler ' || n, '', ?, 0 FROM i`, b.boot)
		if err != nil {
			t.Fatal(err)
		}
		time.Sleep(13 * time.Hour)
		claim(t, b, "half a day", "POST", nil)
		if n := kept(b); n != 10_002 {
			t.Errorf("%d keys after 13 h, should be all", n)
		}
		next := openAt(t, path)
		time.Sleep(10 * time.Hour)
		claim(t, next, "nearly a day of running", "POST", nil)
		if n := kept(next); n != 10_003 {
			t.Errorf("%d keys after 23 h in two lives, should be all", n)
		}
		time.Sleep(2 * time.Hour)
		claim(t, next, "a day of running", "POST", nil)
		if n := kept(next); n != keptNewest {
			t.Errorf("%d keys after 25 h, should be %d", n, keptNewest)
		}
		if !claim(t, next, "oldest", "POST", nil).Fresh {
			t.Error("the oldest key is still known")
		}
	})
}
