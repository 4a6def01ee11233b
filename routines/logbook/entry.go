package logbook

import (
	"context"
	"fmt"

	"fettle/routines"
)

// An Entry is a record of something measured, decided or changed. It is never edited: a later one of the same printer,
// kind and material supersedes it. ID, Seq, Supersedes and the times are filled in by the Book.
type Entry struct {
	ID           int64  `json:"id"`
	Seq          int64  `json:"seq"` // the event it was stored with
	Run          string `json:"run,omitempty"`
	Printer      string `json:"printer"`
	SetupVersion int64  `json:"setup_version,omitempty"`
	Material     string `json:"material,omitempty"`
	Who          string `json:"who,omitempty"`
	routines.Entry
	Supersedes  int64 `json:"supersedes,omitempty"` // the entry that held until then
	WallMS      int64 `json:"wall_ms"`              // of its event
	WallTrusted bool  `json:"wall_trusted"`
}

func (w *writing) putEntries(s *Step) error {
	if len(s.Entries) > 0 && len(s.Events) == 0 {
		return fmt.Errorf("%w: an entry without the event that dates it", ErrRefused)
	}
	for i := range s.Entries {
		e := &s.Entries[i]
		e.Seq, e.WallMS, e.WallTrusted = w.last, w.now.wallMS, w.now.trusted
		if s.Run != nil && (e.Run == "" || e.Run == s.Run.ID) {
			e.Run = s.Run.ID
			e.Printer = or(e.Printer, s.Run.Printer)
		}
		if err := w.putEntry(e); err != nil {
			return fmt.Errorf("entry %s: %w", e.Kind, err)
		}
	}
	return nil
}

// supersede finds the entry that this one takes the place of. What was never written takes nobody's place, and none takes
// its own: the printer went on with what it had.
func (w *writing) supersede(e *Entry) error {
	if e.Standing == routines.NotWritten {
		e.Supersedes = 0
		return nil
	}
	return w.QueryRowContext(w.ctx, `SELECT coalesce(max(id), 0) FROM entry
		WHERE printer = ? AND kind = ? AND material IS ? AND standing IS NOT ?`,
		e.Printer, e.Kind, text(e.Material), routines.NotWritten).Scan(&e.Supersedes)
}

func (w *writing) putEntry(e *Entry) error {
	if err := w.supersede(e); err != nil {
		return err
	}
	return w.QueryRowContext(w.ctx, `INSERT INTO entry (seq, run, printer, setup, material, who, kind, value, unit, u95, standing, supersedes, body)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) RETURNING id`,
		e.Seq, text(e.Run), e.Printer, number(e.SetupVersion), text(e.Material), text(e.Who), e.Kind, e.Value, text(e.Unit), e.U95,
		text(e.Standing), number(e.Supersedes), body(e.Body)).Scan(&e.ID)
}

const entryColumns = `e.id, e.seq, coalesce(e.run, ''), e.printer, coalesce(e.setup, 0), coalesce(e.material, ''), coalesce(e.who, ''), e.kind, e.value,
	coalesce(e.unit, ''), e.u95, coalesce(e.standing, ''), coalesce(e.supersedes, 0), e.body, d.wall_ms, d.wall_trusted`

func scanEntry(row scanner) (e Entry, err error) {
	var raw *string
	err = row.Scan(&e.ID, &e.Seq, &e.Run, &e.Printer, &e.SetupVersion, &e.Material, &e.Who, &e.Kind, &e.Value,
		&e.Unit, &e.U95, &e.Standing, &e.Supersedes, &raw, &e.WallMS, &e.WallTrusted)
	e.Body = rawJSON(raw)
	return e, err
}

// Entries returns the entries that Filter's After, Run, Printer, Kind and Material let through, oldest first.
func (b *Book) Entries(ctx context.Context, f Filter) ([]Entry, error) {
	var w where
	w.number("e.id > ?", f.After)
	w.text("e.run = ?", f.Run)
	w.text("e.printer = ?", f.Printer)
	w.text("e.kind = ?", f.Kind)
	w.text("e.material = ?", f.Material)
	return list(ctx, b, "read entries", scanEntry,
		`SELECT `+entryColumns+` FROM entry e JOIN event_dated d ON d.seq = e.seq`+w.sql("e.id", f.Limit), w.args...)
}
