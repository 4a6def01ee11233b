package logbook

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// Copy writes a copy of the whole store to a new file, beside all other work. The copy has a store id of its own, so
// that nobody who knew the original takes a restored copy for it.
func (b *Book) Copy(ctx context.Context, path string) error {
	return failed(ctx, "copy the store to "+path, copyTo(ctx, b.path, path, b.vfs))
}

// Check reads the whole file and reports the first damage it finds, wrapped in ErrStore.
func (b *Book) Check(ctx context.Context) error {
	var said string
	err := b.reader.QueryRowContext(ctx, `PRAGMA integrity_check(1)`).Scan(&said)
	if err == nil && said != "ok" {
		err = errors.New(said)
	}
	return failed(ctx, "check the store", err)
}

// copyBefore makes the dated copy that a migration leaves behind.
func (b *Book) copyBefore(ctx context.Context, version int) error {
	wall, _ := b.clock()
	name := fmt.Sprintf("%s.schema-%d.%s", b.path, version, wall.UTC().Format("20060102T150405Z"))
	err := copyTo(ctx, b.path, name, b.vfs)
	if errors.Is(err, fs.ErrExist) { // a clock that starts at the same time every time, or a second try
		err = copyTo(ctx, b.path, name+"-"+b.boot, b.vfs)
	}
	return err
}

// copyTo makes the copy under another name and gives it its own when it is whole and on the disk.
func copyTo(ctx context.Context, from, to, vfs string) error {
	path, err := filepath.Abs(to)
	if err != nil {
		return err
	}
	if _, err := os.Lstat(path); err == nil {
		return fmt.Errorf("%s: %w", path, fs.ErrExist)
	}
	part := path + ".part"
	if err := os.Remove(part); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if err := do(ctx, dsn(from, vfs, "ro", busy), `VACUUM INTO ?`, part); err != nil {
		return err
	}
	// The copy's own id is synced to the disk, and the whole file with it.
	if err := do(ctx, dsn(part, vfs, "rw", busy, "synchronous(EXTRA)"), `UPDATE store SET id = ?`, rand.Text()); err != nil {
		return err
	}
	if err := os.Rename(part, path); err != nil {
		return err
	}
	return syncFolder(filepath.Dir(path))
}

// do runs one statement on a connection of its own.
func do(ctx context.Context, name, statement string, arg any) (err error) {
	db, err := sql.Open("sqlite3", name)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	_, err = db.ExecContext(ctx, statement, arg)
	return err
}

func syncFolder(name string) error {
	folder, err := os.Open(name)
	if err != nil {
		return err
	}
	return errors.Join(folder.Sync(), folder.Close())
}
