package logbook

import (
	"crypto/sha256"
	"errors"
	"path/filepath"
	"sync"
	"testing"
	"time"
)

func phone(name, key string) Access {
	return Access{Name: name, Kind: Phone, Right: "operate", Hash: sha256.Sum256([]byte(key))}
}

func TestAccessIsGivenToldAndRevoked(t *testing.T) {
	b := newBook(t)
	for i, want := range []string{"Ada's phone", "Ada's phone 2", "Ada's phone 3"} {
		a, err := b.GiveAccess(t.Context(), phone("Ada's phone", want), "the keyboard")
		if err != nil || a.Name != want || a.ID != "a"+string(rune('1'+i)) {
			t.Errorf("%+v, %v", a, err)
		}
	}
	if err := b.RevokeAccess(t.Context(), "a3", "Bo"); err != nil {
		t.Fatal(err)
	}
	if err := b.RevokeAccess(t.Context(), "a3", "Bo"); !errors.Is(err, ErrNotFound) {
		t.Errorf("revoked twice: %v", err)
	}
	if a, err := b.GiveAccess(t.Context(), phone("Cleo", "c"), ""); err != nil || a.ID != "a4" {
		t.Errorf("an id came back: %+v, %v", a, err)
	}
	if _, err := b.GiveAccess(t.Context(), phone("Dora", "c"), ""); !errors.Is(err, ErrRefused) {
		t.Errorf("one key for two: %v", err)
	}
	if _, err := b.GiveAccess(t.Context(), Access{Name: "Eve", Kind: Phone, Right: "own", Hash: sha256.Sum256(nil)}, ""); !errors.Is(err, ErrRefused) {
		t.Errorf("a right that is none: %v", err)
	}
	// Who did what: each change is one event, and none of them holds a hash.
	events, err := b.Events(t.Context(), Filter{})
	said := ""
	for _, e := range events {
		said += e.Who + " " + e.Kind + " " + e.Name + "; "
	}
	const want = "the keyboard access given Ada's phone; the keyboard access given Ada's phone 2; the keyboard access given Ada's phone 3; " +
		"Bo access revoked Ada's phone 3; Cleo access given Cleo; "
	if err != nil || said != want {
		t.Errorf("the events say %s, %v", said, err)
	}
}

// The window is a row: what another process opens is seen here, and both count the same tries.
func TestAWindowOpenedElsewhereIsSeenAndCountedTogether(t *testing.T) {
	path := filepath.Join(t.TempDir(), "logbook.db")
	agent, command := openAt(t, path), openAt(t, path)
	if _, err := agent.Pairing(t.Context()); !errors.Is(err, ErrNotFound) {
		t.Fatal(err)
	}
	if err := command.OpenPairing(t.Context(), Pairing{ID: "w", Right: "watch", TriesLeft: 5}); err != nil {
		t.Fatal(err)
	}
	for left := 4; left >= 0; left-- {
		b := agent
		if left%2 == 0 {
			b = command
		}
		if p, err := b.TryPairing(t.Context()); err != nil || p.TriesLeft != left || p.ID != "w" {
			t.Errorf("%+v, %v; want %d left", p, err, left)
		}
	}
	if _, err := agent.TryPairing(t.Context()); !errors.Is(err, ErrNotFound) {
		t.Errorf("a sixth try: %v", err)
	}
	if err := errors.Join(agent.ShutPairing(t.Context(), "w"), command.ShutPairing(t.Context(), "w")); err != nil {
		t.Error(err)
	}
}

func TestAWindowPairsOnce(t *testing.T) {
	b := newBook(t)
	for range 20 {
		if err := b.OpenPairing(t.Context(), Pairing{ID: "w", Right: "operate", TriesLeft: 5}); err != nil {
			t.Fatal(err)
		}
		before, err := b.Accesses(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		var all sync.WaitGroup
		failed := make([]error, 8)
		for i := range failed {
			all.Go(func() {
				_, failed[i] = b.Pair(t.Context(), "w", phone("racer", time.Now().String()+string(rune('a'+i))))
			})
		}
		all.Wait()
		won := 0
		for _, err := range failed {
			if err == nil {
				won++
			} else if !errors.Is(err, ErrNotFound) {
				t.Error(err)
			}
		}
		after, err := b.Accesses(t.Context())
		if err != nil || won != 1 || len(after) != len(before)+1 {
			t.Fatalf("%d of %d were paired, %d rows more, %v", won, len(failed), len(after)-len(before), err)
		}
	}
}

// Only trusted time ends a phone's access, in either direction of a jump, and a token has no such end.
func TestIdlePhonesEndByTrustedTimeAlone(t *testing.T) {
	const month = 30 * 24 * time.Hour
	b, clock := newBookWithClock(t)
	clock.wall, clock.trusted = time.Unix(0, 0), false
	for _, a := range []Access{phone("never seen", "1"), phone("used", "2"), {Name: "script", Kind: Token, Right: "watch", Hash: [32]byte{9}}} {
		if _, err := b.GiveAccess(t.Context(), a, ""); err != nil {
			t.Fatal(err)
		}
	}
	names := func(when string, want ...string) {
		t.Helper()
		if err := b.EndIdleAccess(t.Context(), month); err != nil {
			t.Fatal(err)
		}
		all, err := b.Accesses(t.Context())
		if err != nil || len(all) != len(want) {
			t.Fatalf("%s: %+v, %v; want %q", when, all, err, want)
		}
		for i, a := range all {
			if a.Name != want[i] {
				t.Errorf("%s: %s, want %s", when, a.Name, want[i])
			}
		}
	}
	clock.wall = time.Date(2046, 1, 1, 0, 0, 0, 0, time.UTC)
	names("an untrusted jump", "never seen", "used", "script")
	start := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	clock.wall, clock.trusted = start, true
	names("the clock is set", "never seen", "used", "script")
	clock.wall = start.Add(20 * 24 * time.Hour)
	if err := b.UsedAccess(t.Context(), "a2"); err != nil {
		t.Fatal(err)
	}
	clock.wall = start.Add(month)
	names("30 days", "never seen", "used", "script")
	clock.wall = start.Add(month + time.Second)
	names("a second more", "used", "script")
	clock.wall, clock.trusted = start.Add(10*month), false
	names("an untrusted jump again", "used", "script")
	clock.wall, clock.trusted = start.Add(20*24*time.Hour+month+time.Second), true
	names("30 days after its use", "script")
}
