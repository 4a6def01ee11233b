package main

import (
	"context"
	"encoding/json"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/routines/runner"
	"fettle/serialio/standin"
)

type question = runner.OpenQuestion

type seen struct{ runner.RunView }

func (s seen) over() bool { return runner.Ended(s.State) }

// see looks at a run. It reports false where the agent is gone.
func (v *victim) see(id string) (seen, bool) {
	v.Helper()
	status, raw, err := v.try(http.MethodGet, "/v1/runs/"+id+"?until=asking,ended&within=20s", nil)
	if err != nil {
		return seen{}, false
	}
	var s seen
	if err := json.Unmarshal(raw, &s); err != nil || status != http.StatusOK {
		v.Fatalf("GET run %s: %d %s", id, status, raw)
	}
	return s, true
}

// order begins the feed check, unless the agent dies over it.
func (v *victim) order() {
	v.Helper()
	status, raw, err := v.try(http.MethodPost, "/v1/runs", map[string]any{"printer": "window", "routine": "feed_check", "material": "plum-pla",
		"attended": true, "inputs": map[string]any{"gauge": "caliper"}})
	if err == nil && status != http.StatusCreated {
		v.Fatalf("begin: %d %s\n%s", status, raw, v.errs)
	}
}

// The agent is killed at each event of a run, and again a little later in its next life. Nothing that moved is repeated,
// no answer is asked for again, the record is whole, what was owed is given back, and the run is what its last event
// says. Every seventh event by default; AGENT_KILLS=all takes each.
func TestKilledAtEachEvent(t *testing.T) {
	events := len(undisturbed(t))
	first, step := 5, 7*stride
	if os.Getenv("AGENT_KILLS") == "all" {
		step = 1
	}
	ends := map[string]int{}
	lives := 0
	for at := first; at <= events; at += step {
		v := newVictim(t, demoProfile(), hurry)
		for _, kill := range []int64{int64(at), int64(at) + 2, 0} {
			v.start(kill)
			lives++
			if !v.begun() {
				v.order()
			}
			if kill == 0 {
				v.live("r1")
				v.quit()
			} else if v.live("r1") {
				v.process.Process.Kill() // it ended before that event
				v.gone()
			} else {
				v.gone()
			}
		}
		ends[v.judge(at)]++
	}
	t.Logf("%d events, killed at every %d. of them, %d lives: the runs ended %v", events, step, lives, ends)
}

// undisturbed is the events of a run that nobody kills.
func undisturbed(t *testing.T) []logbook.Event {
	t.Helper()
	v := newVictim(t, demoProfile(), hurry)
	v.start(0)
	v.order()
	if !v.live("r1") {
		t.Fatalf("the agent went away: %s", v.errs)
	}
	v.quit()
	return v.events()
}

func (v *victim) begun() bool {
	status, _, err := v.try(http.MethodGet, "/v1/runs/r1", nil)
	return err != nil || status == http.StatusOK
}

func (v *victim) open() *logbook.Book {
	v.Helper()
	book, err := logbook.Open(context.Background(), filepath.Join(v.folder, "logbook.db"))
	if err != nil {
		v.Fatal(err)
	}
	return book
}

func (v *victim) events() []logbook.Event {
	v.Helper()
	book := v.open()
	defer book.Close()
	events, err := book.Events(context.Background(), logbook.Filter{})
	if err != nil {
		v.Fatal(err)
	}
	return events
}

// judge reads the record after the last life and holds it against what the printer did. It returns how the run ended.
func (v *victim) judge(at int) string {
	v.Helper()
	ctx := context.Background()
	book := v.open()
	defer book.Close()
	if err := book.Check(ctx); err != nil {
		v.Errorf("killed at %d: %v", at, err)
	}
	if owed, err := book.Owed(ctx, ""); err != nil || len(owed) > 0 {
		v.Errorf("killed at %d: %v is owed, %v", at, owed, err)
	}
	run, err := book.Run(ctx, "r1")
	if err != nil {
		return "never begun" // killed before the run was on the disk
	}
	events, err := book.Events(ctx, logbook.Filter{Run: "r1"})
	if err != nil {
		v.Fatal(err)
	}
	if !runner.Ended(run.State) || run.State == runner.Failed {
		v.Errorf("killed at %d: the run is %s (%s)", at, run.State, run.Cause)
	}
	v.judgeFacts(at, events)
	s := v.printer.Snapshot()
	if s.NozzleTargetC > 0 {
		v.Errorf("killed at %d: the nozzle is asked for %g °C in the end", at, s.NozzleTargetC)
	}
	if fed, most := commanded(s.Obeyed), begunMM(events); fed > most+0.01 {
		v.Errorf("killed at %d: %g mm were commanded, and acts that were begun come to %g", at, fed, most)
	}
	return run.State
}

// judgeFacts holds that nothing is begun twice and nothing asked again once it was answered.
func (v *victim) judgeFacts(at int, events []logbook.Event) {
	begun, answered := map[string]bool{}, map[string]bool{}
	for _, e := range events {
		if strings.HasPrefix(e.Name, "runner: ") {
			continue
		}
		switch routines.FactKind(e.Kind) {
		case routines.Begun:
			if begun[e.Name] {
				v.Errorf("killed at %d: %q was begun twice", at, e.Name)
			}
			begun[e.Name] = true
		case routines.Asked:
			if answered[e.Name] {
				v.Errorf("killed at %d: %q was asked again", at, e.Name)
			}
		case routines.Answered:
			answered[e.Name] = true
		}
	}
}

// begunMM is the filament of all feeds that were begun.
func begunMM(events []logbook.Event) (mm float64) {
	for _, e := range events {
		switch {
		case e.Kind != string(routines.Begun):
		case strings.HasPrefix(e.Name, "pre-feed"):
			mm += 5
		case strings.HasPrefix(e.Name, "feed"):
			mm += 100
		}
	}
	return mm
}

// commanded is the filament that the printer was told to feed, by the lines it obeyed: absolute E from a fresh zero.
func commanded(obeyed []standin.Obeyed) (mm float64) {
	at := 0.0
	for _, o := range obeyed {
		words := strings.Fields(o.Block)
		i := slices.IndexFunc(words, func(w string) bool { return w[0] == 'E' })
		if i < 0 {
			continue
		}
		e := number(words[i][1:])
		switch words[0] {
		case "G1":
			mm += e - at
			at = e
		case "G92":
			at = e
		}
	}
	return mm
}

// Killed between storing and reading back, the next life reads first: the store holds the value, so it is kept, and
// recorded as written, not verified.
func TestKilledBetweenStoringAndReadingBack(t *testing.T) {
	v := killedAtStoring(t)
	v.order()
	if v.live("r1") {
		t.Fatal("the run ended before M500 was sent")
	}
	v.gone()
	v.start(0)
	s, _ := v.see("r1")
	for !s.over() {
		s, _ = v.see("r1")
	}
	v.settled()
	v.quit()
	book := v.open()
	defer book.Close()
	entries, err := book.Entries(context.Background(), logbook.Filter{Kind: "steps_per_mm"})
	if err != nil || len(entries) != 1 || entries[0].Standing != routines.WrittenNotVerified {
		t.Fatalf("entries %+v, %v; want one, %s", entries, err, routines.WrittenNotVerified)
	}
	stored := v.printer.Snapshot().Stored
	if got := *entries[0].Value; s.State != runner.Interrupted || stored == nil || got < 95 || got > 97 {
		t.Errorf("the run is %s, the entry says %g", s.State, got)
	}
}

// killedAtStoring makes a victim whose first life is killed when M500 is on its way to the printer.
func killedAtStoring(t *testing.T) *victim {
	profile := demoProfile()
	var pid atomic.Int64 // of the life that is to end; the printer's goroutine reads it
	profile.FromHost = func(p []byte) []byte {
		if victim := pid.Load(); victim > 0 && strings.Contains(string(p), "M500") {
			pid.Store(0)
			syscall.Kill(int(victim), syscall.SIGKILL)
		}
		return p
	}
	v := newVictim(t, profile, hurry)
	v.start(0)
	pid.Store(int64(v.process.Process.Pid))
	return v
}

// settled waits until nothing is owed. Between two looks the agent holds a request for a second, so that nothing here
// hurries it.
func (v *victim) settled() {
	v.Helper()
	for v.Context().Err() == nil && len(v.owed()) > 0 {
		v.call(http.MethodGet, "/v1/runs/r1?until=asking&within=1s", nil, nil)
	}
}
