package logbook

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

const answered = "answered"

// Answer stores the answer to a question of a run: Run, Question, Name, Who and Body of e. The first that is on the disk
// is the answer; whoever comes later is given that one and first = false, and nothing of theirs is stored.
func (b *Book) Answer(ctx context.Context, e Event) (winner Event, first bool, err error) {
	if e.Kind != answered || e.Run == "" || e.Question == 0 {
		return Event{}, false, failed(ctx, "answer", fmt.Errorf("%w: an answer names its run and its question", ErrRefused))
	}
	err = b.write(ctx, fmt.Sprintf("answer question %d of run %s", e.Question, e.Run), func(w *writing) error {
		winner, first, err = w.answer(e)
		return err
	})
	if err != nil {
		return Event{}, false, err
	}
	return winner, first, nil
}

// answer runs in a transaction that was begun as a writer, so nobody comes between looking and storing.
func (w *writing) answer(e Event) (Event, bool, error) {
	winner, err := scanEvent(w.QueryRowContext(w.ctx, `SELECT `+eventColumns+` FROM event_dated
		WHERE run = ? AND question = ? AND kind = 'answered'`, e.Run, e.Question))
	if !errors.Is(err, sql.ErrNoRows) {
		return winner, false, err
	}
	if e.Printer == "" {
		if err := w.QueryRowContext(w.ctx, `SELECT printer FROM run WHERE id = ?`, e.Run).Scan(&e.Printer); err != nil {
			return e, false, err
		}
	}
	err = w.putEvent(&e)
	return e, err == nil, err
}
