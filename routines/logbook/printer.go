package logbook

import (
	"context"
	"database/sql"
	"fmt"
)

// A Printer is one machine on one serial line, as a person recorded it. AddedMS is stamped by the Book.
type Printer struct {
	ID      string `json:"id"` // "p1", "p2", ... unless the one who adds it names it
	Name    string `json:"name"`
	Port    string `json:"port"` // the stable name of the serial port
	Baud    int    `json:"baud"`
	DTRLow  bool   `json:"dtr_low,omitempty"` // lowered when the port is opened; otherwise as the kernel raises it
	RTSLow  bool   `json:"rts_low,omitempty"`
	AddedMS int64  `json:"added_ms"`

	Fingerprint *Fingerprint `json:"fingerprint,omitempty"` // read only, see Step.Fingerprint; nil: it was never met
}

// putPrinter adds a printer, or changes the one with this ID: all but its fingerprint and when it was added.
func (w *writing) putPrinter(s *Step) error {
	p := s.Printer
	if p == nil {
		return nil
	}
	if err := w.name(&p.ID, "p", "printer"); err != nil {
		return fmt.Errorf("name the printer: %w", err)
	}
	err := w.QueryRowContext(w.ctx, `INSERT INTO printer (id, name, port, baud, dtr_low, rts_low, added_ms) VALUES (?, ?, ?, ?, ?, ?, ?)
		ON CONFLICT (id) DO UPDATE SET name = excluded.name, port = excluded.port, baud = excluded.baud,
		dtr_low = excluded.dtr_low, rts_low = excluded.rts_low RETURNING added_ms`,
		p.ID, p.Name, p.Port, p.Baud, p.DTRLow, p.RTSLow, w.now.wallMS).Scan(&p.AddedMS)
	if err != nil {
		return fmt.Errorf("store printer %s: %w", p.ID, err)
	}
	return nil
}

// name gives id the next free number of table after prefix, where it has no name yet.
func (w *writing) name(id *string, prefix, table string) error {
	if *id != "" {
		return nil
	}
	return w.QueryRowContext(w.ctx, `WITH RECURSIVE free (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM free
		WHERE EXISTS (SELECT 1 FROM `+table+` WHERE id = ?1 || n)) SELECT ?1 || max(n) FROM free`, prefix).Scan(id)
}

const printerColumns = `id, name, port, baud, dtr_low, rts_low, added_ms, fingerprint`

func scanPrinter(row scanner) (p Printer, err error) {
	var fingerprint sql.NullString
	if err = row.Scan(&p.ID, &p.Name, &p.Port, &p.Baud, &p.DTRLow, &p.RTSLow, &p.AddedMS, &fingerprint); err != nil {
		return p, err
	}
	if fingerprint.Valid {
		p.Fingerprint, err = fingerprintIn(fingerprint.String)
	}
	return p, err
}

// Printers returns all printers in the order they were added.
func (b *Book) Printers(ctx context.Context) ([]Printer, error) {
	return list(ctx, b, "read the printers", scanPrinter, `SELECT `+printerColumns+` FROM printer ORDER BY rowid`)
}

// Printer returns one printer, or ErrNotFound.
func (b *Book) Printer(ctx context.Context, id string) (Printer, error) {
	return one(ctx, b, "read printer "+id, scanPrinter, `SELECT `+printerColumns+` FROM printer WHERE id = ?`, id)
}
