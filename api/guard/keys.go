package guard

import (
	"context"
	"crypto/sha256"
	"errors"
	"unicode"
	"unicode/utf8"

	"fettle/routines/logbook"
)

// Accesses lists who may come in.
func (g *Guard) Accesses(ctx context.Context) ([]logbook.Access, error) {
	if g.Store == nil {
		return nil, nil
	}
	return g.Store.Accesses(ctx)
}

// Revoke takes a key away and ends at once what its holder has open. ErrNoKey where there is none with this id.
func (g *Guard) Revoke(ctx context.Context, id, who string) error {
	if g.Store == nil {
		return ErrNoKey
	}
	if err := g.Store.RevokeAccess(ctx, id, who); errors.Is(err, logbook.ErrNotFound) {
		return ErrNoKey
	} else if err != nil {
		return err
	}
	return g.ring.refresh(ctx, g.Store)
}

// NewToken makes a key for a script. It is shown this once and is nowhere kept.
func NewToken(ctx context.Context, store Store, name string, right Right, who string) (secret string, a logbook.Access, err error) {
	if err := CheckName(name); err != nil {
		return "", a, err
	}
	secret = newSecret()
	a, err = store.GiveAccess(ctx, logbook.Access{Name: name, Kind: logbook.Token, Right: string(right), Hash: sha256.Sum256([]byte(secret))}, who)
	return secret, a, err
}

// longestName is in characters.
const longestName = 40

// CheckName holds a name to what can be shown anywhere on one line.
func CheckName(name string) error {
	if !utf8.ValidString(name) || utf8.RuneCountInString(name) > longestName {
		return ErrName
	}
	visible := false
	for _, c := range name {
		if !unicode.IsPrint(c) {
			return ErrName
		}
		visible = visible || c != ' '
	}
	if !visible || name[0] == ' ' || name[len(name)-1] == ' ' {
		return ErrName
	}
	return nil
}
