package logbook

import (
	"context"
	"encoding/json"
	"fmt"
)

// Owed is something a printer must be given back. It is one row for each printer and What; owing it again keeps the
// first row, since that says what was found. SinceMS is stamped by the Book.
type Owed struct {
	Printer string   `json:"printer"`
	What    string   `json:"what"`
	Restore []string `json:"restore"`           // the lines that give it back
	KeepIf  string   `json:"keep_if,omitempty"` // what the printer would say if it should keep what it has
	Run     string   `json:"run,omitempty"`
	SinceMS int64    `json:"since_ms"`
}

// Paid names what was given back.
type Paid struct {
	Printer, What string
}

func (w *writing) putOwed(s *Step) error {
	for i := range s.Owe {
		o := &s.Owe[i]
		o.SinceMS = w.now.wallMS
		if s.Run != nil && (o.Run == "" || o.Run == s.Run.ID) {
			o.Run = s.Run.ID
			o.Printer = or(o.Printer, s.Run.Printer)
		}
		lines := o.Restore
		if lines == nil {
			lines = []string{}
		}
		restore, err := json.Marshal(lines)
		if err != nil {
			return fmt.Errorf("print what restores %s: %w", o.What, err)
		}
		_, err = w.ExecContext(w.ctx, `INSERT INTO owed (printer, what, restore, keep_if, run, since_ms) VALUES (?, ?, ?, ?, ?, ?)
			ON CONFLICT (printer, what) DO NOTHING`, o.Printer, o.What, string(restore), text(o.KeepIf), text(o.Run), o.SinceMS)
		if err != nil {
			return fmt.Errorf("owe %s to %s: %w", o.What, o.Printer, err)
		}
	}
	return nil
}

// putPaid strikes out what was given back. Paying what is not owed is no error: it may have been paid before a restart.
func (w *writing) putPaid(s *Step) error {
	for _, p := range s.Paid {
		if _, err := w.ExecContext(w.ctx, `DELETE FROM owed WHERE printer = ? AND what = ?`, p.Printer, p.What); err != nil {
			return fmt.Errorf("strike out %s of %s: %w", p.What, p.Printer, err)
		}
	}
	return nil
}

func scanOwed(row scanner) (o Owed, err error) {
	var restore string
	if err = row.Scan(&o.Printer, &o.What, &restore, &o.KeepIf, &o.Run, &o.SinceMS); err != nil {
		return o, err
	}
	return o, json.Unmarshal([]byte(restore), &o.Restore)
}

// Owed returns what is owed to a printer, or to all of them for "", in the order it came to be owed.
func (b *Book) Owed(ctx context.Context, printer string) ([]Owed, error) {
	var w where
	w.text("printer = ?", printer)
	return list(ctx, b, "read what is owed", scanOwed,
		`SELECT printer, what, restore, coalesce(keep_if, ''), coalesce(run, ''), since_ms FROM owed`+w.sql("rowid", 0), w.args...)
}
