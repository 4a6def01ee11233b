package main

import (
	"context"
	"errors"
	"io"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"fettle/routines/logbook"
	"fettle/routines/runner"
	"fettle/serialio/standin"
)

// plugs is one port with two printers that can be plugged into it, of which the first is meant.
type plugs struct {
	*house
	t        *testing.T
	printers [2]*standin.Printer
	cables   [2]*standin.Cable
}

// newPlugs wires a house as the agent does, with both printers on real pseudo-terminals under one stable name.
func newPlugs(t *testing.T) *plugs {
	t.Helper()
	s, err := readSettings()
	if err != nil {
		t.Fatal(err)
	}
	s.Data = t.TempDir()
	p := &plugs{t: t}
	if p.house, err = build(t.Context(), s, hurry, io.Discard); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { p.book.Close() })
	ctx, end := context.WithCancel(context.Background())
	ended := make(chan error, 3)
	folder := t.TempDir()
	for i, name := range []string{"Invented firmware 1 (no real one)", "Invented firmware 2 (no real one)"} {
		profile := demoProfile()
		profile.Name = name
		p.printers[i] = standin.NewPrinter(profile, hurry)
		if p.cables[i], err = standin.NewCable(folder, "printer"); err != nil {
			t.Fatal(err)
		}
		p.pull(i)
		go func() { ended <- p.cables[i].Run(ctx, p.printers[i]) }() // ends with ctx
	}
	go func() { ended <- p.runner.Run(ctx) }() // ends with ctx
	t.Cleanup(func() {
		end()
		for range 3 {
			if err := <-ended; err != nil {
				t.Error(err)
			}
		}
	})
	<-p.runner.Ready()
	_, err = p.runner.AddPrinter(t.Context(), logbook.Printer{Name: "P1", Port: filepath.Join(folder, "printer"), Baud: 250000, DTRLow: true}, "Ada")
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func (p *plugs) plug(i int) {
	p.t.Helper()
	if err := p.cables[i].Replug(); err != nil {
		p.t.Fatal(err)
	}
}

func (p *plugs) pull(i int) {
	p.t.Helper()
	if err := p.cables[i].Unplug(); err != nil {
		p.t.Fatal(err)
	}
}

// drive asks for a fan, which is owed to the printer from then on, until that is done, or refused as it should be. Right
// after a swap the line may not have noticed yet, and the answer is about the printer before.
func (p *plugs) drive(ctx context.Context, refused bool) error {
	for {
		_, err := p.runner.Line(ctx, "p1", "M106 S120", false, "Ada")
		if err == nil || refused && errors.Is(err, runner.ErrAnotherPrinter) || ctx.Err() != nil {
			return err
		}
	}
}

// Fifty times a printer is pulled out and one of two plugged in, under one name, over real pseudo-terminals. The fan is
// owed to the one that is meant at each swap, and asked for at each.
func TestTheWrongPrinterIsDrivenNeverInFiftySwaps(t *testing.T) {
	t.Parallel()
	swaps := 50
	if testing.Short() {
		swaps = 10
	}
	p := newPlugs(t)
	ctx, cancel := context.WithTimeout(t.Context(), 5*time.Minute)
	defer cancel()
	p.plug(0)
	if err := p.drive(ctx, false); err != nil {
		t.Fatal(err)
	}
	rng, now := rand.New(rand.NewPCG(3, 5)), 0
	var wrong int
	for range swaps {
		p.pull(now)
		now = rng.IntN(2)
		p.plug(now)
		err := p.drive(ctx, now == 1)
		if (now == 0) != (err == nil) || now == 1 && !errors.Is(err, runner.ErrAnotherPrinter) {
			t.Errorf("printer %d is plugged in: %v", now, err)
		}
		wrong += now
	}
	driven := 0
	for _, o := range p.printers[1].Snapshot().Obeyed {
		if word, _, _ := strings.Cut(o.Block, " "); !slices.Contains([]string{"M110", "M115", "M105", "M114"}, word) {
			t.Errorf("the wrong printer was sent %s", o.Block)
			driven++
		}
	}
	t.Logf("of %d swaps %d were to the wrong printer, which was driven %d times", swaps, wrong, driven)
	if wrong == 0 {
		t.Error("the wrong printer was never plugged in")
	}
}
