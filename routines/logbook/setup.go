package logbook

import (
	"context"
	"encoding/json"
	"fmt"

	"fettle/routines"
)

// SetupOf is the setup of one printer. Its Version is given by the Book.
type SetupOf struct {
	Printer string
	routines.Setup
}

// putSetup stores a setup as the printer's next version; one that says the same as the version in force stays that one.
func (w *writing) putSetup(s *Step) error {
	if s.Setup == nil {
		return nil
	}
	if s.Printer != nil {
		s.Setup.Printer = or(s.Setup.Printer, s.Printer.ID)
	}
	if err := w.storeSetup(s.Setup); err != nil {
		return fmt.Errorf("store the setup of %s: %w", s.Setup.Printer, err)
	}
	return nil
}

func (w *writing) storeSetup(s *SetupOf) error {
	var held string
	err := w.QueryRowContext(w.ctx, `SELECT coalesce(max(version), 0), coalesce(body, '') FROM setup WHERE printer = ?`, s.Printer).Scan(&s.Version, &held)
	if err != nil {
		return err
	}
	same, err := json.Marshal(s.Setup)
	if err != nil || string(same) == held {
		return err
	}
	s.Version++
	next, err := json.Marshal(s.Setup)
	if err != nil {
		return err
	}
	return w.exec(`INSERT INTO setup (printer, version, made_ms, body) VALUES (?, ?, ?, ?)`, s.Printer, s.Version, w.now.wallMS, string(next))
}

func scanSetup(row scanner) (s routines.Setup, err error) {
	var raw string
	if err = row.Scan(&raw); err != nil {
		return s, err
	}
	return s, json.Unmarshal([]byte(raw), &s)
}

// Setup returns the setup of a printer that is in force, or ErrNotFound where it has none yet.
func (b *Book) Setup(ctx context.Context, printer string) (routines.Setup, error) {
	return one(ctx, b, "read the setup of "+printer, scanSetup, `SELECT body FROM setup WHERE printer = ? ORDER BY version DESC LIMIT 1`, printer)
}
