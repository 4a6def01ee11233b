package logbook

import (
	"context"
	"encoding/json"
	"fmt"
	"strconv"
	"time"
)

// An Access is somebody who may come in: a phone that was paired, or the token of a script. ID, MadeMS and UsedMS are
// filled in by the Book, and Name gets a number behind it where it is taken.
type Access struct {
	ID     string   `json:"id"`
	Name   string   `json:"name"`
	Kind   string   `json:"kind"`  // phone or token
	Right  string   `json:"right"` // watch or operate
	Hash   [32]byte `json:"-"`     // SHA-256 of the key, which is nowhere kept
	MadeMS int64    `json:"made_ms"`
	UsedMS int64    `json:"used_ms,omitempty"` // to the hour; 0 where no trusted clock has seen it used
}

// The kinds of Access.
const (
	Phone = "phone"
	Token = "token"
)

// GiveAccess stores an access and tells it as an event of the one who gave it.
func (b *Book) GiveAccess(ctx context.Context, a Access, who string) (Access, error) {
	err := b.write(ctx, "give access to "+a.Name, func(w *writing) error { return w.giveAccess(&a, who) })
	return a, err
}

func (w *writing) giveAccess(a *Access, who string) error {
	if err := w.freeName(&a.Name); err != nil {
		return err
	}
	a.MadeMS, a.UsedMS = w.now.wallMS, w.trustedMS()
	err := w.QueryRowContext(w.ctx, `INSERT INTO access (id, name, kind, may, hash, made_ms, used_ms)
		VALUES ((SELECT 'a' || (coalesce(max(seq), 0) + 1) FROM sqlite_sequence WHERE name = 'access'), ?, ?, ?, ?, ?, ?) RETURNING id`,
		a.Name, a.Kind, a.Right, a.Hash[:], a.MadeMS, number(a.UsedMS)).Scan(&a.ID)
	if err != nil {
		return err
	}
	return w.tellAccess("access given", *a, or(who, a.Name))
}

// freeName puts a number behind a name that somebody has, or had in this logbook's own words.
func (w *writing) freeName(name *string) error {
	wanted := *name
	for n := 2; ; n++ {
		var taken bool
		err := w.QueryRowContext(w.ctx, `SELECT EXISTS (SELECT 1 FROM access WHERE name = ?)`, *name).Scan(&taken)
		if err != nil || !taken {
			return err
		}
		*name = wanted + " " + strconv.Itoa(n)
	}
}

// tellAccess makes a change of access an event. The hash is no part of it.
func (w *writing) tellAccess(kind string, a Access, who string) error {
	said, err := json.Marshal(a)
	if err != nil {
		return fmt.Errorf("print the access: %w", err)
	}
	return w.putEvent(&Event{Kind: kind, Name: a.Name, Who: who, Body: said})
}

func (w *writing) trustedMS() int64 {
	if !w.now.trusted {
		return 0
	}
	return w.now.wallMS
}

const accessColumns = `id, name, kind, may, hash, made_ms, coalesce(used_ms, 0)`

func scanAccess(row scanner) (a Access, err error) {
	var hash []byte
	err = row.Scan(&a.ID, &a.Name, &a.Kind, &a.Right, &hash, &a.MadeMS, &a.UsedMS)
	copy(a.Hash[:], hash)
	return a, err
}

// Accesses returns everybody who may come in, in the order in which they came.
func (b *Book) Accesses(ctx context.Context) ([]Access, error) {
	return list(ctx, b, "read who may come in", scanAccess, `SELECT `+accessColumns+` FROM access ORDER BY n`)
}

// RevokeAccess takes an access away; ErrNotFound where there is none with this id.
func (b *Book) RevokeAccess(ctx context.Context, id, who string) error {
	return b.write(ctx, "revoke access "+id, func(w *writing) error {
		a, err := scanAccess(w.QueryRowContext(w.ctx, `DELETE FROM access WHERE id = ? RETURNING `+accessColumns, id))
		if err != nil {
			return err
		}
		return w.tellAccess("access revoked", a, who)
	})
}

// UsedAccess notes that an access is in use, where the clock is trusted. One that was revoked in between stays away.
func (b *Book) UsedAccess(ctx context.Context, id string) error {
	return b.quietly(ctx, "note the use of access "+id, func(w *writing) error {
		_, err := w.ExecContext(w.ctx, `UPDATE access SET used_ms = coalesce(?, used_ms) WHERE id = ?`, number(w.trustedMS()), id)
		return err
	})
}

// EndIdleAccess takes the access of phones away that were not used for so long. Only times of a trusted clock count: a
// phone that none has seen in use is taken as used now, and where the clock is not trusted nothing is done.
func (b *Book) EndIdleAccess(ctx context.Context, idle time.Duration) error {
	return b.write(ctx, "end idle access", func(w *writing) error {
		if !w.now.trusted {
			return nil
		}
		if _, err := w.ExecContext(w.ctx, `UPDATE access SET used_ms = ? WHERE used_ms IS NULL`, w.now.wallMS); err != nil {
			return err
		}
		ended, err := w.endIdle(w.now.wallMS - idle.Milliseconds())
		if err != nil {
			return err
		}
		for _, a := range ended {
			if err := w.tellAccess("access ended", a, ""); err != nil {
				return err
			}
		}
		return nil
	})
}

func (w *writing) endIdle(beforeMS int64) (ended []Access, err error) {
	rows, err := w.QueryContext(w.ctx, `DELETE FROM access WHERE kind = 'phone' AND used_ms < ? RETURNING `+accessColumns, beforeMS)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		a, err := scanAccess(rows)
		if err != nil {
			return nil, err
		}
		ended = append(ended, a)
	}
	return ended, rows.Err()
}
