package logbook

import (
	"context"
	"encoding/json"
	"fmt"
)

// An Event is one thing that a person must be able to know later. Seq, Boot and the times are stamped by the Book.
type Event struct {
	Seq         int64           `json:"seq"`
	Run         string          `json:"run,omitempty"`
	Printer     string          `json:"printer,omitempty"`
	Kind        string          `json:"kind"`
	Name        string          `json:"name,omitempty"`
	Who         string          `json:"who,omitempty"`
	Question    int64           `json:"question,omitempty"`
	Boot        string          `json:"boot"`
	MonoMS      int64           `json:"mono_ms"` // since that boot opened the store; never jumps
	WallMS      int64           `json:"wall_ms"` // Unix time; dated afterwards where the clock was set later in that boot
	WallTrusted bool            `json:"wall_trusted"`
	Body        json.RawMessage `json:"body,omitempty"`
}

// putEvents stores the events of a step. One that names no run or printer belongs to the step's run and its printer.
func (w *writing) putEvents(s *Step) error {
	for i := range s.Events {
		e := &s.Events[i]
		if s.Run != nil && (e.Run == "" || e.Run == s.Run.ID) {
			e.Run = s.Run.ID
			e.Printer = or(e.Printer, s.Run.Printer)
		}
		if err := w.putEvent(e); err != nil {
			return fmt.Errorf("event %s %q: %w", e.Kind, e.Name, err)
		}
	}
	return nil
}

func (w *writing) putEvent(e *Event) error {
	e.Boot, e.MonoMS, e.WallMS, e.WallTrusted = w.book.boot, w.now.monoMS, w.now.wallMS, w.now.trusted
	if e.WallTrusted && !w.book.zeroKnown.Load() {
		if _, err := w.ExecContext(w.ctx, `UPDATE boot SET zero_ms = ? WHERE id = ? AND zero_ms IS NULL`, e.WallMS-e.MonoMS, e.Boot); err != nil {
			return err
		}
	}
	err := w.QueryRowContext(w.ctx, `INSERT INTO event (run, printer, kind, name, who, question, boot, mono_ms, wall_ms, wall_trusted, body)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) RETURNING seq`,
		text(e.Run), text(e.Printer), e.Kind, e.Name, text(e.Who), number(e.Question), e.Boot, e.MonoMS, e.WallMS, e.WallTrusted, body(e.Body)).Scan(&e.Seq)
	if err != nil {
		return unique(err, ErrAnswered)
	}
	w.last = e.Seq
	return nil
}

const eventColumns = `seq, coalesce(run, ''), coalesce(printer, ''), kind, name, coalesce(who, ''), coalesce(question, 0), boot, mono_ms, wall_ms, wall_trusted, body`

func scanEvent(row scanner) (e Event, err error) {
	var raw *string
	err = row.Scan(&e.Seq, &e.Run, &e.Printer, &e.Kind, &e.Name, &e.Who, &e.Question, &e.Boot, &e.MonoMS, &e.WallMS, &e.WallTrusted, &raw)
	e.Body = rawJSON(raw)
	return e, err
}

// Events returns the events that Filter's After, Run, Printer and Kind let through, oldest first.
func (b *Book) Events(ctx context.Context, f Filter) ([]Event, error) {
	var w where
	w.number("seq > ?", f.After)
	w.text("run = ?", f.Run)
	w.text("printer = ?", f.Printer)
	w.text("kind = ?", f.Kind)
	return list(ctx, b, "read events", scanEvent, `SELECT `+eventColumns+` FROM event_dated`+w.sql("seq", f.Limit), w.args...)
}

func or(s, instead string) string {
	if s == "" {
		return instead
	}
	return s
}
