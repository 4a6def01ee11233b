package logbook

import (
	"context"
	"database/sql"
	"encoding/json"
)

// writing is one transaction under way.
type writing struct {
	*sql.Tx
	ctx  context.Context
	book *Book
	now  stamp
	last int64 // newest event put
}

// write does change in one transaction and, when it is on the disk, tells those who listen.
func (b *Book) write(ctx context.Context, doing string, change func(*writing) error) error {
	var last int64
	err := b.quietly(ctx, doing, func(w *writing) error {
		defer func() { last = w.last }()
		return change(w)
	})
	if err == nil {
		b.announce(last)
	}
	return err
}

// quietly does change in one transaction of the only writer.
func (b *Book) quietly(ctx context.Context, doing string, change func(*writing) error) error {
	if b.writer == nil {
		return failed(ctx, doing, ErrNewerSchema)
	}
	tx, err := b.writer.BeginTx(ctx, nil)
	if err != nil {
		return failed(ctx, doing, err)
	}
	defer tx.Rollback() // does nothing after a commit
	w := &writing{Tx: tx, ctx: ctx, book: b, now: b.now()}
	if err := change(w); err != nil {
		return failed(ctx, doing, err)
	}
	if err := tx.Commit(); err != nil {
		return failed(ctx, doing, err)
	}
	if w.now.trusted && w.last > 0 {
		b.zeroKnown.Store(true)
	}
	return nil
}

// exec runs a statement that must touch a row; ErrNotFound where it did not.
func (w *writing) exec(query string, args ...any) error {
	result, err := w.ExecContext(w.ctx, query, args...)
	if err != nil {
		return err
	}
	if n, err := result.RowsAffected(); err != nil || n > 0 {
		return err
	}
	return ErrNotFound
}

// text stores nothing as NULL.
func text(s string) any {
	if s == "" {
		return nil
	}
	return s
}

// number stores nothing as NULL.
func number(n int64) any {
	if n == 0 {
		return nil
	}
	return n
}

func body(raw json.RawMessage) any { return text(string(raw)) }
