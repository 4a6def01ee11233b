package logbook

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"github.com/ncruces/go-sqlite3"
)

// failed puts an error in this package's terms: the context's own error first, since SQLite calls a wait that was given
// up "locked"; then what was refused; and everything else is the store's failing.
func failed(ctx context.Context, doing string, err error) error {
	switch {
	case err == nil:
		return nil
	case refusal(err):
		return fmt.Errorf("%s: %w", doing, err)
	case ctx.Err() != nil:
		return fmt.Errorf("%s: %w", doing, ctx.Err())
	case errors.Is(err, sql.ErrNoRows):
		return fmt.Errorf("%s: %w", doing, ErrNotFound)
	case errors.Is(err, sqlite3.CONSTRAINT):
		return fmt.Errorf("%s: %w: %w", doing, ErrRefused, err)
	}
	return fmt.Errorf("%s: %w: %w", doing, ErrStore, err)
}

func refusal(err error) bool {
	for _, own := range []error{ErrNewerSchema, ErrNotAStore, ErrNotFound, ErrRefused, ErrRunOpen, ErrAnswered, ErrKeyReused, ErrKeyRunning, ErrKeyUnknown} {
		if errors.Is(err, own) {
			return true
		}
	}
	return false
}

// unique says whether a statement ran into a unique index, and returns instead where it did.
func unique(err, instead error) error {
	if errors.Is(err, sqlite3.CONSTRAINT_UNIQUE) {
		return instead
	}
	return err
}
