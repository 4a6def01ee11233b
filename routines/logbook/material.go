package logbook

import (
	"context"
	"encoding/json"
	"fmt"

	"fettle/routines"
)

// putMaterial adds a material, or changes the one with this ID. Without an ID it is named "m1", "m2", ...
func (w *writing) putMaterial(s *Step) error {
	m := s.Material
	if m == nil {
		return nil
	}
	if err := w.name(&m.ID, "m", "material"); err != nil {
		return fmt.Errorf("name the material: %w", err)
	}
	raw, err := json.Marshal(m)
	if err != nil {
		return fmt.Errorf("print material %s: %w", m.ID, err)
	}
	if err := w.exec(`INSERT INTO material (id, name, body) VALUES (?, ?, ?)
		ON CONFLICT (id) DO UPDATE SET name = excluded.name, body = excluded.body`, m.ID, m.Name, string(raw)); err != nil {
		return fmt.Errorf("store material %s: %w", m.ID, err)
	}
	return nil
}

func scanMaterial(row scanner) (m routines.Material, err error) {
	var raw string
	if err = row.Scan(&raw); err != nil {
		return m, err
	}
	return m, json.Unmarshal([]byte(raw), &m)
}

// Materials returns all materials in the order they were added.
func (b *Book) Materials(ctx context.Context) ([]routines.Material, error) {
	return list(ctx, b, "read the materials", scanMaterial, `SELECT body FROM material ORDER BY rowid`)
}

// Material returns one material, or ErrNotFound.
func (b *Book) Material(ctx context.Context, id string) (routines.Material, error) {
	return one(ctx, b, "read material "+id, scanMaterial, `SELECT body FROM material WHERE id = ?`, id)
}
