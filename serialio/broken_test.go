package serialio

import (
	"flag"
	"fmt"
	"os"
	"runtime"
	"runtime/debug"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"fettle/serialio/judge"
)

var traced = flag.Uint64("seed", 0, "play this seed alone, and log its conversation")

var sessions = flag.Int("sessions", defaultSessions, "broken conversations to play")

// results is what came of many conversations.
type results struct {
	verdict judge.Verdict
	tally   counters
	damaged int
	virtual Mono
	bad     []string // the first few seeds that went wrong, with what went wrong
}

func (r *results) take(s *session, v judge.Verdict) {
	r.verdict.Add(v)
	r.tally.count(s)
	r.damaged += s.down.damaged + s.up.damaged
	r.virtual += s.now
	switch {
	case len(r.bad) >= 20:
	case v.Bad() || s.stuck || s.now >= longest:
		r.bad = append(r.bad, fmt.Sprintf("seed %d: stuck %v, it is %v, %+v", s.seed, s.stuck, s.engine.Status().Why, v))
	case s.far.differs != "":
		r.bad = append(r.bad, fmt.Sprintf("seed %d: %s", s.seed, s.far.differs))
	}
}

func (r *results) add(o results) {
	r.verdict.Add(o.verdict)
	r.tally.add(o.tally)
	r.damaged += o.damaged
	r.virtual += o.virtual
	r.bad = append(r.bad, o.bad...)
}

// playAll plays the seeds 1 to n on all processors. What comes of it does not depend on how many there are.
func playAll(n int, make func(seed uint64) *session) results {
	defer debug.SetGCPercent(debug.SetGCPercent(1000)) // the heap is small, and an engine is dropped every millisecond
	var sum results
	var next atomic.Uint64
	var adding sync.Mutex
	var players sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		players.Go(func() { // ends when no seed is left
			var mine results
			for seed := next.Add(1); seed <= uint64(n); seed = next.Add(1) {
				s := make(seed)
				mine.take(s, s.run())
			}
			adding.Lock()
			defer adding.Unlock()
			sum.add(mine)
		})
	}
	players.Wait()
	return sum
}

// TestBrokenConversations plays conversations over bad wires with a printer that lies, before a judge that shares no code
// with either. The damage is drawn from the seed alone.
func TestBrokenConversations(t *testing.T) {
	if *traced != 0 {
		playTraced(t, *traced)
		return
	}
	began := time.Now()
	sum := playAll(*sessions, newSession)
	v := sum.verdict
	fmt.Fprintf(os.Stdout, "%d sessions in %v (virtual %v): %d lines told done, %d accepted, %d refused, %d bytes damaged, %d checksum twins, %d tool words out of two flips, %d told early, %d said to be unsure\n",
		*sessions, time.Since(began).Round(time.Millisecond), sum.virtual.Round(time.Second), v.Told, v.Taken, v.Turned, sum.damaged, v.Twins, v.Tools, v.Early, v.Excused)
	fmt.Fprintf(os.Stdout, "skipped %d, doubled %d, swapped %d, falsely done %d, hung %d, ended twice %d, hot %d, stale %d, loose %d, outside the grammar %d\n",
		v.Skipped, v.Doubled, v.Swapped, v.FalselyDone, v.Hung, v.EndedTwice, v.Hot, v.Stale, v.Loose, v.Ungrammatic)
	fmt.Fprint(os.Stdout, sum.tally.table())
	for _, bad := range sum.bad {
		t.Error(bad)
	}
	if *sessions >= enoughSessions {
		for _, name := range sum.tally.below(leastReached) {
			t.Errorf("%s was reached fewer than %d times", name, leastReached)
		}
	}
}

const (
	leastReached   = 100
	enoughSessions = 20_000
)

func playTraced(t *testing.T, seed uint64) {
	s := newSession(seed)
	s.trace = func(mark, text string) { t.Logf("%12v %s %q", s.now, mark, text) }
	v := s.run()
	t.Logf("%+v", s.far.profile)
	if v.Bad() || s.stuck || s.far.differs != "" {
		t.Errorf("stuck %v, differs %q, %+v", s.stuck, s.far.differs, v)
	}
}

// TestReplay plays each of some conversations twice: the same seed gives the same bytes, ends and times.
func TestReplay(t *testing.T) {
	for seed := uint64(1); seed <= 200; seed++ {
		a, b := newSession(seed), newSession(seed)
		a.run()
		b.run()
		if a.hash != b.hash || a.now != b.now {
			t.Fatalf("seed %d took two ways: %x at %v, %x at %v", seed, a.hash, a.now, b.hash, b.now)
		}
	}
}
