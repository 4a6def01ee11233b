package logbook

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"
)

// How long a key is kept: it goes only when it is both older in running time and not among the newest.
const (
	keptRunning = 24 * time.Hour
	keptNewest  = 10_000
)

// A Claim says what became of the request with a key: nothing yet and the caller carries it out (Fresh), or the answer
// that was given, to be given again.
type Claim struct {
	Fresh  bool
	Status int
	Type   string
	Body   []byte
}

// A Settlement is the answer to a request whose whole effect is one Step: stored with it, so that a crash leaves both or
// neither.
type Settlement struct {
	Key    string
	Status int
	Type   string
	// Body prints the answer from the step as stored, since the id of a new run is known only then. It runs inside the
	// transaction and must not call the Book. Nil is an empty answer.
	Body func(Step) ([]byte, error)
}

// Claim reserves a key for a request before it is carried out. Fingerprint stands for everything that was asked. Errors:
// ErrKeyReused for another request, ErrKeyRunning while it is carried out in this life of the agent.
//
// A claim that an earlier life left unsettled is ErrKeyUnknown, for good: the agent was cut off between the effect and
// its record. It is not made fresh, since the effect may have been a movement; it is not called running, since it is
// not. The person looks, and asks again under another key. A Settlement closes that gap for what is one Step.
func (b *Book) Claim(ctx context.Context, key, fingerprint string) (c Claim, err error) {
	err = b.quietly(ctx, "claim a key", func(w *writing) error {
		c, err = w.claim(key, fingerprint)
		return err
	})
	if err != nil {
		return Claim{}, err
	}
	return c, nil
}

func (w *writing) claim(key, fingerprint string) (c Claim, err error) {
	var held, boot string
	var status sql.NullInt64
	err = w.QueryRowContext(w.ctx, `SELECT fingerprint, boot, status, coalesce(content_type, ''), body FROM idempotency WHERE key = ?`, key).
		Scan(&held, &boot, &status, &c.Type, &c.Body)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return Claim{Fresh: true}, w.reserve(key, fingerprint)
	case err != nil:
		return c, err
	case held != fingerprint:
		return c, ErrKeyReused
	case status.Valid:
		c.Status = int(status.Int64)
		return c, nil
	case boot == w.book.boot:
		return c, ErrKeyRunning
	}
	return c, ErrKeyUnknown
}

func (w *writing) reserve(key, fingerprint string) error {
	ranMS := w.book.ranBeforeMS + w.now.monoMS
	if err := w.exec(`INSERT INTO idempotency (key, fingerprint, boot, ran_ms) VALUES (?, ?, ?, ?)`, key, fingerprint, w.book.boot, ranMS); err != nil {
		return err
	}
	_, err := w.ExecContext(w.ctx, `DELETE FROM idempotency WHERE ran_ms < ? AND n <= (SELECT max(n) FROM idempotency) - ?`,
		ranMS-keptRunning.Milliseconds(), keptNewest)
	return err
}

// Settle stores the answer to the request with a key. A request that is settled keeps its first answer.
func (b *Book) Settle(ctx context.Context, key string, status int, contentType string, body []byte) error {
	return b.quietly(ctx, "settle a key", func(w *writing) error { return w.settle(key, status, contentType, body) })
}

func (w *writing) settle(key string, status int, contentType string, body []byte) error {
	return w.exec(`UPDATE idempotency SET content_type = CASE WHEN status IS NULL THEN ?2 ELSE content_type END,
		body = CASE WHEN status IS NULL THEN ?3 ELSE body END, status = coalesce(status, ?1) WHERE key = ?4`, status, contentType, body, key)
}

func (w *writing) putSettlement(s *Step) error {
	if s.Settle == nil {
		return nil
	}
	var answer []byte
	if s.Settle.Body != nil {
		var err error
		if answer, err = s.Settle.Body(*s); err != nil {
			return fmt.Errorf("%w: print the answer: %w", ErrRefused, err)
		}
	}
	if err := w.settle(s.Settle.Key, s.Settle.Status, s.Settle.Type, answer); err != nil {
		return fmt.Errorf("settle a key: %w", err)
	}
	return nil
}

// Release gives up the claim of a request that failed without an effect, so that it may be tried again under its key. A
// settled key stays.
func (b *Book) Release(ctx context.Context, key string) error {
	return b.quietly(ctx, "release a key", func(w *writing) error {
		_, err := w.ExecContext(w.ctx, `DELETE FROM idempotency WHERE key = ? AND status IS NULL AND boot = ?`, key, w.book.boot)
		return err
	})
}
