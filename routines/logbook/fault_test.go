package logbook

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"github.com/ncruces/go-sqlite3"
	"github.com/ncruces/go-sqlite3/vfs"

	"fettle/routines"
)

// faults makes the disk fail from the nth write or sync on, until it is healed.
type faults struct {
	vfs.VFSFilename
	mu     sync.Mutex
	calls  int
	from   int // the first call that fails; 0: none
	full   bool
	onSync bool // syncs fail, not writes
	short  bool // half of a write arrives
	hits   int
}

func (f *faults) OpenFilename(name *vfs.Filename, flags vfs.OpenFlag) (vfs.File, vfs.OpenFlag, error) {
	file, flags, err := f.VFSFilename.OpenFilename(name, flags)
	if err != nil {
		return nil, flags, err
	}
	return faultyFile{file, f}, flags, nil
}

// next counts a call and says whether it fails.
func (f *faults) next(sync bool) bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.calls++
	if f.from == 0 || f.calls < f.from || sync != f.onSync {
		return false
	}
	f.hits++
	return true
}

func (f *faults) heal() {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.from = 0
}

type faultyFile struct {
	vfs.File
	faults *faults
}

func (f faultyFile) SharedMemory() vfs.SharedMemory {
	return f.File.(vfs.FileSharedMemory).SharedMemory()
}

func (f faultyFile) WriteAt(p []byte, at int64) (int, error) {
	if !f.faults.next(false) {
		return f.File.WriteAt(p, at)
	}
	n := 0
	if f.faults.short {
		n, _ = f.File.WriteAt(p[:len(p)/2], at)
	}
	if f.faults.full {
		return n, sqlite3.FULL
	}
	return n, sqlite3.IOERR_WRITE
}

func (f faultyFile) Sync(flags vfs.SyncFlag) error {
	if f.faults.next(true) {
		return sqlite3.IOERR_FSYNC
	}
	return f.File.Sync(flags)
}

// stride is how many calls lie between two tries: every one with LOGBOOK_EXHAUSTIVE set, which takes two minutes.
func stride(usual int) int {
	if os.Getenv("LOGBOOK_EXHAUSTIVE") != "" {
		return 1
	}
	return usual
}

// failingDisks are the ways in which a disk fails.
func failingDisks() map[string]*faults {
	return map[string]*faults{
		"full":            {full: true},
		"full after half": {full: true, short: true},
		"write error":     {},
		"torn write":      {short: true},
		"sync error":      {onSync: true},
	}
}

func withFaults(t *testing.T, f *faults) func(*settings) {
	f.VFSFilename = vfs.Find("").(vfs.VFSFilename)
	name := fmt.Sprintf("faults-%p", f)
	vfs.Register(name, f)
	t.Cleanup(func() { vfs.Unregister(name) })
	return func(s *settings) { s.vfs = name }
}

// The disk fails from one of its calls on, for a while. Nothing is acknowledged that is not there later,
// no step is there in part, and work goes on by itself when the disk does.
func TestAFailingDiskLosesNothingAcknowledged(t *testing.T) {
	for name, disk := range failingDisks() {
		t.Run(name, func(t *testing.T) {
			refused := 0
			for from := 1; ; from += stride(23) {
				hits, failures := workOnFailingDisk(t, &faults{full: disk.full, onSync: disk.onSync, short: disk.short}, from)
				refused += failures
				if hits == 0 {
					t.Logf("failed from call 1 to %d, refused %d steps", from, refused)
					if from < 20 || refused < 10 {
						t.Error("the disk hardly failed")
					}
					return
				}
			}
		})
	}
}

func workOnFailingDisk(t *testing.T, disk *faults, from int) (hits, failures int) {
	path := filepath.Join(t.TempDir(), "logbook.db")
	b := openAt(t, path, withFaults(t, disk))
	commit(t, b, Step{Printer: &Printer{ID: "p1"}})
	if _, err := b.writer.Exec(`PRAGMA wal_autocheckpoint = 8`); err != nil { // so that it falls among the failing calls
		t.Fatal(err)
	}
	disk.calls, disk.from = 0, from
	var acknowledged []string
	for i := range 12 {
		name := fmt.Sprint("step ", i)
		_, err := b.Commit(t.Context(), threefold(name))
		if err == nil {
			acknowledged = append(acknowledged, name)
			continue
		}
		if !errors.Is(err, ErrStore) {
			t.Fatalf("failing from call %d: %v", from, err)
		}
		if failures++; failures == 3 {
			disk.heal()
		}
	}
	disk.heal()
	commit(t, b, threefold("after it healed"))
	acknowledged = append(acknowledged, "after it healed")
	holds(t, b, acknowledged)
	holds(t, openAt(t, path), acknowledged)
	return disk.hits, failures
}

// threefold is a step that shows in three tables.
func threefold(name string) Step {
	return Step{Events: []Event{{Printer: "p1", Kind: "done", Name: name}},
		Entries: []Entry{{Printer: "p1", Entry: routines.Entry{Kind: name}}},
		Owe:     []Owed{{Printer: "p1", What: name}}}
}

func holds(t *testing.T, b *Book, want []string) {
	t.Helper()
	events, err1 := b.Events(t.Context(), Filter{Kind: "done"})
	entries, err2 := b.Entries(t.Context(), Filter{})
	owed, err3 := b.Owed(t.Context(), "")
	if err := errors.Join(err1, err2, err3, b.Check(t.Context())); err != nil {
		t.Fatal(err)
	}
	var inEvents, inEntries, inOwed []string
	for _, e := range events {
		inEvents = append(inEvents, e.Name)
	}
	for _, e := range entries {
		inEntries = append(inEntries, e.Kind)
	}
	for _, o := range owed {
		inOwed = append(inOwed, o.What)
	}
	for _, got := range [][]string{inEvents, inEntries, inOwed} {
		if !slices.Equal(got, want) {
			t.Fatalf("acknowledged %v\nevents %v\nentries %v\nowed %v", want, inEvents, inEntries, inOwed)
		}
	}
}

// Opening fails from one of its calls on, with a migration to do; opening again always gets there.
func TestOpeningOnAFailingDiskConverges(t *testing.T) {
	for name, kind := range failingDisks() {
		t.Run(name, func(t *testing.T) {
			for from := 1; ; from += stride(9) {
				path := filepath.Join(t.TempDir(), "logbook.db")
				old := openAt(t, path)
				commit(t, old, Step{Printer: &Printer{ID: "p1"}})
				commit(t, old, threefold("before"))
				old.Close()
				disk := &faults{full: kind.full, onSync: kind.onSync, short: kind.short, from: from}
				s := openSettings(t)
				withFaults(t, disk)(&s)
				next(addMood)(&s)
				b, err := open(t.Context(), path, s)
				if err == nil {
					b.Close()
				} else if !errors.Is(err, ErrStore) {
					t.Fatalf("failing from call %d: %v", from, err)
				}
				disk.heal()
				holds(t, openAt(t, path, next(addMood)), []string{"before"})
				if disk.hits == 0 {
					t.Logf("failed from call 1 to %d", from)
					if from < 20 {
						t.Error("the disk hardly failed")
					}
					return
				}
			}
		})
	}
}
