package logbook

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"fettle/routines"
)

// childVar names the store of a child of the kill test; in the parent it is not set.
const childVar = "LOGBOOK_KILL_CHILD"

// TestMain lets this test's program be the process that is killed.
func TestMain(m *testing.M) {
	if path := os.Getenv(childVar); path != "" {
		if err := commitUntilKilled(path); err != nil {
			fmt.Fprintln(os.Stderr, err)
		}
		os.Exit(1)
	}
	os.Exit(m.Run())
}

// commitUntilKilled commits steps and says so, until it dies.
func commitUntilKilled(path string) error {
	ctx := context.Background()
	b, err := Open(ctx, path)
	if err != nil {
		return err
	}
	for n := 0; ; n++ {
		name := fmt.Sprint(b.Boot(), "-", n)
		done, err := b.Commit(ctx, Step{Printer: &Printer{ID: "p1"},
			Events:  []Event{{Kind: "first", Name: name}, {Kind: "second", Name: name}},
			Entries: []Entry{{Printer: "p1", Entry: routines.Entry{Kind: name}}}})
		if err != nil {
			return err
		}
		fmt.Printf("acknowledged %d %s\n", done.Entries[0].Seq, name)
	}
}

// Killed at any moment, over and over on one store. LOGBOOK_KILLS sets how often.
func TestAKillLosesNothingAcknowledged(t *testing.T) {
	kills := 60
	if s := os.Getenv("LOGBOOK_KILLS"); s != "" {
		var err error
		if kills, err = strconv.Atoi(s); err != nil {
			t.Fatal(err)
		}
	}
	path := filepath.Join(t.TempDir(), "logbook.db")
	seed := rand.Uint64()
	random := rand.New(rand.NewPCG(seed, 0))
	acknowledged := map[int64]string{}
	for range kills {
		killAfter(t, path, random.IntN(60), acknowledged)
	}
	b := openAt(t, path)
	lost, halves := 0, 0
	whole := wholeSteps(t, b, &halves)
	for seq, name := range acknowledged {
		if whole[seq] != name {
			lost++
		}
	}
	t.Logf("seed %d: %d kills, %d acknowledged, %d stored, %d lost, %d half", seed, kills, len(acknowledged), len(whole), lost, halves)
	if lost > 0 || halves > 0 || len(acknowledged) < kills {
		t.Error("that is not what was promised")
	}
	if err := b.Check(t.Context()); err != nil {
		t.Error(err)
	}
}

// killAfter lets a child work until it has acknowledged so many steps, kills it in the middle of the next one, and adds
// what it acknowledged up to its death. It waits for nothing but the child's own words.
func killAfter(t *testing.T, path string, steps int, acknowledged map[int64]string) {
	child := exec.CommandContext(t.Context(), os.Args[0])
	child.Env = append(os.Environ(), childVar+"="+path)
	out, err := child.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewReader(out)
	for n := 0; ; n++ {
		if n == steps {
			if err := child.Process.Kill(); err != nil {
				t.Fatal(err)
			}
		}
		line, err := lines.ReadString('\n')
		if errors.Is(err, io.EOF) {
			break
		}
		word := strings.Fields(line)
		if err != nil || len(word) != 3 || word[0] != "acknowledged" {
			t.Fatalf("the child says %q, %v", line, err)
		}
		seq, err := strconv.ParseInt(word[1], 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		acknowledged[seq] = word[2]
	}
	if err := child.Wait(); err == nil || err.Error() != "signal: killed" {
		t.Fatalf("the child ended with %v", err)
	}
}

// wholeSteps returns the name of each step by the number of its second event, and counts those that are there in part.
func wholeSteps(t *testing.T, b *Book, halves *int) map[int64]string {
	events, err1 := b.Events(t.Context(), Filter{})
	entries, err2 := b.Entries(t.Context(), Filter{})
	if err := errors.Join(err1, err2); err != nil {
		t.Fatal(err)
	}
	whole := map[int64]string{}
	for i, e := range entries {
		if 2*i+1 >= len(events) || events[2*i].Name != e.Kind || events[2*i+1].Name != e.Kind || events[2*i+1].Seq != e.Seq {
			*halves++
			continue
		}
		whole[e.Seq] = e.Kind
	}
	*halves += len(events) - 2*len(entries)
	return whole
}
