package logbook

import "context"

// A Pairing is the window in which a phone can be paired. There is one at most. It is a row and not a state of the
// agent, so that a command in a process of its own can open it.
type Pairing struct {
	ID        string   // random, hashed with the code and the key
	CodeHash  [32]byte // SHA-256
	KeyHash   [32]byte // SHA-256
	Right     string   // what the phone will be allowed
	TriesLeft int
}

// OpenPairing opens the window in place of any other.
func (b *Book) OpenPairing(ctx context.Context, p Pairing) error {
	return b.quietly(ctx, "open the pairing window", func(w *writing) error {
		return w.exec(`INSERT OR REPLACE INTO pairing (one, id, code_hash, key_hash, may, tries_left) VALUES (1, ?, ?, ?, ?, ?)`,
			p.ID, p.CodeHash[:], p.KeyHash[:], p.Right, p.TriesLeft)
	})
}

const pairingColumns = `id, code_hash, key_hash, may, tries_left`

func scanPairing(row scanner) (p Pairing, err error) {
	var code, key []byte
	err = row.Scan(&p.ID, &code, &key, &p.Right, &p.TriesLeft)
	copy(p.CodeHash[:], code)
	copy(p.KeyHash[:], key)
	return p, err
}

// Pairing returns the open window, or ErrNotFound.
func (b *Book) Pairing(ctx context.Context) (Pairing, error) {
	return one(ctx, b, "read the pairing window", scanPairing, `SELECT `+pairingColumns+` FROM pairing`)
}

// TryPairing takes one try off the open window and returns what is to be compared. The try is on the disk before it is
// known how it ends, so that a crash gives none away. ErrNotFound where the window is shut or no try is left.
func (b *Book) TryPairing(ctx context.Context) (p Pairing, err error) {
	err = b.quietly(ctx, "try the pairing window", func(w *writing) error {
		p, err = scanPairing(w.QueryRowContext(w.ctx, `UPDATE pairing SET tries_left = tries_left - 1 WHERE tries_left > 0 RETURNING `+pairingColumns))
		return err
	})
	return p, err
}

// Pair gives the access that a window is for and shuts it, both or neither. ErrNotFound where that window is not open
// any more: somebody else was faster.
func (b *Book) Pair(ctx context.Context, window string, a Access) (Access, error) {
	err := b.write(ctx, "pair "+a.Name, func(w *writing) error {
		if err := w.exec(`DELETE FROM pairing WHERE id = ?`, window); err != nil {
			return err
		}
		return w.giveAccess(&a, "")
	})
	return a, err
}

// ShutPairing shuts a window. One that is shut already is no error.
func (b *Book) ShutPairing(ctx context.Context, window string) error {
	return b.quietly(ctx, "shut the pairing window", func(w *writing) error {
		_, err := w.ExecContext(w.ctx, `DELETE FROM pairing WHERE id = ?`, window)
		return err
	})
}
