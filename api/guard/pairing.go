package guard

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"errors"
	"fmt"
	"time"

	"fettle/routines/logbook"
)

// The pairing window: one use, so many tries, so long.
const (
	windowTries = 5
	WindowTime  = 10 * time.Minute
)

// Invitation is what the person at the computer is shown, and nobody else.
type Invitation struct {
	Code   string // nine digits in threes, to type
	Key    string // 256 bits, for the fragment of an address, which browsers do not send anywhere
	Window string // names the window in the store
}

// Open opens the pairing window and tells the person at this computer.
func (g *Guard) Open(ctx context.Context, right Right) error {
	in, err := OpenWindow(ctx, g.Store, right)
	if err != nil {
		return err
	}
	g.mu.Lock()
	g.window = window{in.Window, time.Now()}
	g.mu.Unlock()
	if g.Invite != nil {
		g.Invite(in)
	}
	return nil
}

// OpenWindow opens the pairing window in a store. Only a local act may come to this.
func OpenWindow(ctx context.Context, store Windows, right Right) (Invitation, error) {
	code, err := newCode()
	if err != nil {
		return Invitation{}, err
	}
	in := Invitation{Code: inThrees(code), Key: newSecret(), Window: rand.Text()}
	err = store.OpenPairing(ctx, logbook.Pairing{ID: in.Window, CodeHash: hashIn(in.Window, code), KeyHash: hashIn(in.Window, in.Key),
		Right: string(right), TriesLeft: windowTries})
	if err != nil {
		return Invitation{}, fmt.Errorf("open the pairing window: %w", err)
	}
	return in, nil
}

// watchWindow shuts a window that has been open long enough. It counts from when the guard first saw it, which is a
// second after another process opened it, at most.
func (g *Guard) watchWindow(ctx context.Context) error {
	g.mu.Lock() // also over the look, so that an older one never replaces a newer one
	defer g.mu.Unlock()
	p, err := g.Store.Pairing(ctx)
	switch {
	case errors.Is(err, logbook.ErrNotFound):
		g.window = window{}
		return nil
	case err != nil:
		return err
	case p.ID != g.window.id:
		g.window = window{p.ID, time.Now()}
	}
	if time.Since(g.window.since) < WindowTime {
		return nil
	}
	return g.Store.ShutPairing(ctx, p.ID)
}

// An Attempt is what a phone says to be paired: the code that was typed or the key of the picture, and a name.
type Attempt struct {
	Code, Key string
	Name      string
}

// WrongCodeError says that a code or key was not the right one, and how often it may be tried again.
type WrongCodeError struct{ TriesLeft int }

func (e *WrongCodeError) Error() string {
	return fmt.Sprintf("not the code of this window; %d tries left", e.TriesLeft)
}

// Pair gives a phone its key, which is known to nobody else. Errors: ErrShut, ErrName, ErrCode, *WrongCodeError, the store's.
func (g *Guard) Pair(ctx context.Context, a Attempt) (secret string, given logbook.Access, err error) {
	if g.Store == nil {
		return "", given, ErrShut
	}
	if err := CheckName(a.Name); err != nil {
		return "", given, err
	}
	if a.Code != "" && !nineDigits(digits(a.Code)) {
		return "", given, ErrCode // mistyped, which is no guess
	}
	if err := g.watchWindow(ctx); err != nil { // it may be the eleventh minute
		return "", given, err
	}
	p, err := g.Store.TryPairing(ctx)
	if errors.Is(err, logbook.ErrNotFound) {
		return "", given, ErrShut
	} else if err != nil {
		return "", given, err
	}
	if !a.fits(p) {
		return "", given, g.wrong(ctx, p)
	}
	return g.admitPhone(ctx, p, a.Name)
}

// fits compares both, whichever was given.
func (a Attempt) fits(p logbook.Pairing) bool {
	code, key := hashIn(p.ID, digits(a.Code)), hashIn(p.ID, a.Key)
	return subtle.ConstantTimeCompare(code[:], p.CodeHash[:])|subtle.ConstantTimeCompare(key[:], p.KeyHash[:]) == 1
}

func (g *Guard) wrong(ctx context.Context, p logbook.Pairing) error {
	if p.TriesLeft == 0 {
		if err := g.Store.ShutPairing(ctx, p.ID); err != nil {
			return err
		}
	}
	return &WrongCodeError{p.TriesLeft}
}

func (g *Guard) admitPhone(ctx context.Context, p logbook.Pairing, name string) (secret string, given logbook.Access, err error) {
	secret = newSecret()
	given, err = g.Store.Pair(ctx, p.ID, logbook.Access{Name: name, Kind: logbook.Phone, Right: p.Right, Hash: sha256.Sum256([]byte(secret))})
	if errors.Is(err, logbook.ErrNotFound) {
		return "", given, ErrShut // somebody was faster
	} else if err != nil {
		return "", given, err
	}
	return secret, given, g.ring.refresh(ctx, g.Store)
}
