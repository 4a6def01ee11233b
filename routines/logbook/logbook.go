// Package logbook is the store of everything that happened, was measured, was decided and is owed: one SQLite file.
//
// Owns: the file, its schema and migrations, the order of events, the stamp of wall time.
// Guarantees: what a method acknowledged is on the disk and survives a kill and a power cut; a step is whole or absent;
// events and entries are never changed; a question has one answer; a failure heals when the disk does.
// Does not do: know what an event means, except for Facts; tell anyone but through Changed, on which nothing waits.
// Read next: schema/0001_first.sql, step.go (Commit), event.go, answer.go, facts.go, key.go, open.go.
package logbook

import (
	"database/sql"
	"errors"
	"sync/atomic"
	"time"

	"fettle/serialio/pulse"
)

// What a Book can refuse. Everything else that goes wrong is ErrStore or the context's own error.
var (
	ErrStore       = errors.New("the store failed")
	ErrNewerSchema = errors.New("the store was written by a newer program: it can be read, not written")
	ErrNotAStore   = errors.New("the file is a database of something else")
	ErrNotFound    = errors.New("the store has no such record")
	ErrRefused     = errors.New("the step does not fit the store")
	ErrRunOpen     = errors.New("the printer has a run that has not ended")
	ErrAnswered    = errors.New("the question has its answer")
	ErrKeyReused   = errors.New("the key was used for another request")
	ErrKeyRunning  = errors.New("the request with this key is still being carried out")
	ErrKeyUnknown  = errors.New("the agent was cut off in the middle of the request with this key; nobody knows what became of it")
)

// A Book is an open store. All its methods may be called from anywhere at any time.
type Book struct {
	writer  *sql.DB // one connection; nil where the schema is newer than the program
	reader  *sql.DB
	path    string
	vfs     string
	clock   Clock
	storeID string
	boot    string
	opened  time.Time // carries the monotonic reading that mono_ms counts from

	ranBeforeMS int64 // running time of earlier lives, as far as claims tell
	zeroKnown   atomic.Bool
	last        atomic.Int64
	news        pulse.Pulse
}

// StoreID is random and stays with the store; a copy has another one.
func (b *Book) StoreID() string { return b.storeID }

// Boot names this life of the agent.
func (b *Book) Boot() string { return b.boot }

// Last is the number of the newest event on the disk.
func (b *Book) Last() int64 { return b.last.Load() }

// Changed returns a channel that is closed after the next commit of a step or an answer. Take it before looking.
func (b *Book) Changed() <-chan struct{} { return b.news.Wait() }

// Close lets go of the file. Calls under way end first.
func (b *Book) Close() error {
	var errs []error
	for _, db := range []*sql.DB{b.reader, b.writer} { // the writer last: the last one to close tidies the log away
		if db != nil {
			errs = append(errs, db.Close())
		}
	}
	return errors.Join(errs...)
}

// announce says that a commit is on the disk; seq is the newest event in it, 0 for none.
func (b *Book) announce(seq int64) {
	for {
		old := b.last.Load()
		if seq <= old || b.last.CompareAndSwap(old, seq) {
			break
		}
	}
	b.news.Beat()
}
