package logbook

import (
	"cmp"
	"context"
	"crypto/rand"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"
)

//go:embed schema/*.sql
var schemaFiles embed.FS

// A migration makes version of the schema before it. Once released, its file is never edited.
type migration struct {
	version int
	file    string
	sql     string
}

func embedded() ([]migration, error) { return migrationsIn(schemaFiles) }

// migrationsIn reads files named like schema/0001_first.sql, which must be numbered from 1 without a gap.
func migrationsIn(files fs.FS) ([]migration, error) {
	names, err := fs.Glob(files, "schema/*.sql")
	if err != nil {
		return nil, fmt.Errorf("list the schema files: %w", err)
	}
	var all []migration
	for _, name := range names {
		text, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, fmt.Errorf("read a schema file: %w", err)
		}
		number, _, _ := strings.Cut(path.Base(name), "_")
		version, err := strconv.Atoi(number)
		if err != nil {
			return nil, fmt.Errorf("schema file %s does not begin with its number: %w", name, err)
		}
		all = append(all, migration{version, name, string(text)})
	}
	slices.SortFunc(all, func(a, b migration) int { return cmp.Compare(a.version, b.version) })
	for i, m := range all {
		if m.version != i+1 {
			return nil, fmt.Errorf("schema file %s should have the number %d", m.file, i+1)
		}
	}
	return all, nil
}

// migrate brings the store from version to the newest schema, each file in one transaction. A store that has something
// in it is copied first.
func (b *Book) migrate(ctx context.Context, version int, known []migration) error {
	if newest := known[len(known)-1].version; version > 0 && version < newest {
		if err := b.copyBefore(ctx, version); err != nil {
			return fmt.Errorf("copy the store before migrating it: %w", err)
		}
	}
	for _, m := range known[version:] {
		if err := b.apply(ctx, m); err != nil {
			return fmt.Errorf("apply %s: %w", m.file, err)
		}
	}
	return nil
}

func (b *Book) apply(ctx context.Context, m migration) (err error) {
	tx, err := b.writer.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, tx.Rollback())
		}
	}()
	if _, err = tx.ExecContext(ctx, m.sql); err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO store (one, id, schema, made_ms) VALUES (1, ?, ?, ?)
		ON CONFLICT (one) DO UPDATE SET schema = excluded.schema`, rand.Text(), m.version, b.now().wallMS)
	if err != nil {
		return err
	}
	return tx.Commit()
}
