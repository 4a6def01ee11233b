package logbook

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"time"

	_ "github.com/ncruces/go-sqlite3/driver" // the driver "sqlite3"
)

const readers = 4

// settings are what Open can be told; tests use the ones that have no Option.
type settings struct {
	clock      Clock
	vfs        string // the file system under SQLite, "" for the real one
	migrations []migration
}

// An Option changes how a Book is opened.
type Option func(*settings)

// WithClock dates records by c. Without it wall times are recorded and never trusted.
func WithClock(c Clock) Option { return func(s *settings) { s.clock = c } }

// Open opens the store at path, making or migrating it as needed. Where a newer program wrote it, the Book that is
// returned together with ErrNewerSchema only reads. It may be repeated after a failure at any point.
func Open(ctx context.Context, path string, options ...Option) (*Book, error) {
	known, err := embedded()
	if err != nil {
		return nil, err
	}
	s := settings{clock: untrustedClock, migrations: known}
	for _, o := range options {
		o(&s)
	}
	return open(ctx, path, s)
}

func open(ctx context.Context, path string, s settings) (*Book, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, fmt.Errorf("open the store: %w", err)
	}
	b := &Book{path: path, vfs: s.vfs, clock: s.clock, boot: rand.Text(), opened: time.Now()}
	if err := b.start(ctx, s); err != nil {
		if errors.Is(err, ErrNewerSchema) && b.reader != nil {
			return b, err
		}
		return nil, errors.Join(failed(ctx, "open the store "+path, err), b.Close())
	}
	return b, nil
}

func (b *Book) start(ctx context.Context, s settings) error {
	version, err := peek(ctx, b.path, b.vfs)
	if err != nil {
		return err
	}
	if newest := s.migrations[len(s.migrations)-1].version; version > newest {
		if err := b.startReading(ctx); err != nil {
			return err
		}
		return fmt.Errorf("%w (its schema is %d, known is %d)", ErrNewerSchema, version, newest)
	}
	if b.writer, err = connect(ctx, dsn(b.path, b.vfs, "rwc", durable...), 1, writerMust); err != nil {
		return err
	}
	if err := b.migrate(ctx, version, s.migrations); err != nil {
		return err
	}
	if err := b.startReading(ctx); err != nil {
		return err
	}
	return b.beginLife(ctx)
}

func (b *Book) startReading(ctx context.Context) (err error) {
	if b.reader, err = connect(ctx, dsn(b.path, b.vfs, "ro", busy, "query_only(1)"), readers, readerMust); err != nil {
		return err
	}
	var last int64
	err = b.reader.QueryRowContext(ctx, `SELECT store.id, coalesce((SELECT max(seq) FROM event), 0) FROM store`).Scan(&b.storeID, &last)
	b.last.Store(last)
	return err
}

// beginLife writes down that the agent lives again, so that monotonic times have something to belong to.
func (b *Book) beginLife(ctx context.Context) error {
	now := b.now()
	if _, err := b.writer.ExecContext(ctx, `INSERT INTO boot (id, opened_ms) VALUES (?, ?)`, b.boot, now.wallMS); err != nil {
		return err
	}
	return b.writer.QueryRowContext(ctx, `SELECT coalesce(max(ran_ms), 0) FROM idempotency`).Scan(&b.ranBeforeMS)
}

const busy = "busy_timeout(5000)"

// Every connection of a pool takes its pragmas from its name. A misspelt one is accepted in silence, so they are read
// back: with less than these the promises of this package do not hold.
var (
	durable    = []string{busy, "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)"}
	writerMust = map[string]string{"busy_timeout": "5000", "journal_mode": "wal", "synchronous": "2", "foreign_keys": "1"}
	readerMust = map[string]string{"busy_timeout": "5000", "query_only": "1"}
)

func dsn(path, vfs, mode string, pragmas ...string) string {
	q := url.Values{"mode": {mode}, "_txlock": {"immediate"}, "_pragma": pragmas}
	if mode == "ro" {
		q.Set("_txlock", "deferred")
	}
	if vfs != "" {
		q.Set("vfs", vfs)
	}
	return (&url.URL{Scheme: "file", Path: path, RawQuery: q.Encode()}).String()
}

func connect(ctx context.Context, name string, most int, must map[string]string) (*sql.DB, error) {
	db, err := sql.Open("sqlite3", name)
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(most)
	db.SetMaxIdleConns(most)
	for pragma, want := range must {
		var got string
		if err := db.QueryRowContext(ctx, "PRAGMA "+pragma).Scan(&got); err != nil {
			return nil, errors.Join(fmt.Errorf("read back %s: %w", pragma, err), db.Close())
		}
		if got != want {
			return nil, errors.Join(fmt.Errorf("%s is %s, must be %s", pragma, got, want), db.Close())
		}
	}
	return db, nil
}

// peek reads the schema number without changing the file; 0 is a file that is absent or empty.
func peek(ctx context.Context, path, vfs string) (version int, err error) {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) || (err == nil && info.Size() == 0) {
		return 0, nil
	}
	if err != nil {
		return 0, err
	}
	db, err := sql.Open("sqlite3", dsn(path, vfs, "rw", busy))
	if err != nil {
		return 0, err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	var ours, all int
	err = db.QueryRowContext(ctx, `SELECT count(*) FILTER (WHERE name = 'store'), count(*) FROM sqlite_schema`).Scan(&ours, &all)
	switch {
	case err != nil || all == 0:
		return 0, err
	case ours == 0:
		return 0, ErrNotAStore
	}
	return version, db.QueryRowContext(ctx, `SELECT schema FROM store`).Scan(&version)
}
