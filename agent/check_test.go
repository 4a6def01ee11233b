package main

import (
	"strings"
	"sync"
	"testing"

	"fettle/routines/logbook"
	"fettle/serialio/standin"
)

// Each printer goes through the whole feed check over a real pseudo-terminal: what it is found, what is written, and
// what the logbook says of it. True feed is 97.0 of 100 mm unless said otherwise.
func TestEveryPrinterThroughTheWholeFeedCheck(t *testing.T) {
	slots := make(chan struct{}, atATime)
	var under sync.WaitGroup
	for i, c := range append(dialects(), printers()...) {
		if i%stride != 0 {
			continue
		}
		slots <- struct{}{}
		under.Go(func() { // ends with its check
			defer func() { <-slots }()
			t.Run(c.name, c.check)
		})
	}
	under.Wait()
}

// checked is one printer and what its feed check comes to.
type checked struct {
	name     string
	change   func(*standin.Profile)
	finding  string
	standing string // of the entry steps_per_mm; empty: none
	says     string // in a note of the finding
	spoken   string // somewhere on the wire
}

func printers() []checked {
	return []checked{
		{"greets after a reset", func(*standin.Profile) {}, "change", "verified", "", ""},
		{"says nothing until asked", func(p *standin.Profile) { p.ResetsOnOpen, p.Greets = false, false }, "change", "verified", "", ""},
		{"takes no M92 and no M500", func(p *standin.Profile) { p.UnknownWords = []string{"M92", "M500"} }, "ratio", "", "", ""},
		{"stores nothing", func(p *standin.Profile) { p.StoresNothing = true }, "change", "set, not stored", "", ""},
		{"feeds right", func(p *standin.Profile) { p.TrueStepsPerMM = 93 }, "leave", "", "", ""},
		{"turns the wrong way", func(p *standin.Profile) { p.Reversed = true }, "failed", "", "", ""},
		{"half the microsteps", func(p *standin.Profile) { p.TrueStepsPerMM = 186 }, "change", "verified", "", ""},
		{"damp filament", func(p *standin.Profile) { p.Damp = true }, "change", "verified", "amp", ""},
	}
}

func (c checked) check(t *testing.T) {
	profile := demoProfile()
	c.change(&profile)
	d := startStandIn(t, profile, hurry)
	v := d.finish(d.begin(map[string]any{"gauge": "caliper"}), nil)
	if v.State != "finished" || v.Finding == nil || v.Finding.Kind != c.finding {
		t.Fatalf("%s %s, finding %+v; want %s\n%s", v.State, v.Cause, v.Finding, c.finding, d.wire(40))
	}
	var log struct{ Entries []logbook.Entry }
	d.get("/v1/logbook?kind=steps_per_mm", &log)
	standing := ""
	if len(log.Entries) > 0 {
		standing = log.Entries[0].Standing
	}
	if standing != c.standing {
		t.Errorf("standing %q, want %q; notes %v", standing, c.standing, v.Finding.Notes)
	}
	if notes := strings.Join(v.Finding.Notes, " "); !strings.Contains(notes, c.says) {
		t.Errorf("notes %q, want %q in them", notes, c.says)
	}
	if wire := d.wire(5000); !strings.Contains(wire, c.spoken) {
		t.Errorf("nobody said %q; the end of the wire:\n%s", c.spoken, d.wire(40))
	}
	if owed := d.owed(); len(owed) > 0 {
		t.Errorf("%v is still owed", owed)
	}
}

// After one check and its write, a pass with the new value feeds what was commanded, within the stated uncertainty, and
// the printer itself reports the value.
func TestAShortFeedIsMendedAndProved(t *testing.T) {
	d := startDemo(t, hurry)
	v := d.finish(d.begin(map[string]any{"gauge": "caliper"}), nil)
	var log struct{ Entries []logbook.Entry }
	d.get("/v1/logbook?kind=feed_verification", &log)
	if len(log.Entries) != 1 || !strings.Contains(string(log.Entries[0].Body), `"within":true`) {
		t.Errorf("verification %+v; want one, within", log.Entries)
	}
	next, ok := value(v, "steps_per_mm")
	if !ok || next < 95.4 || next > 96.4 {
		t.Errorf("steps/mm %g; true are 95.876", next)
	}
	if now := d.steps(); !strings.Contains(now, "E"+twoDecimals(next)) {
		t.Errorf("the printer reports %s, want E%s", now, twoDecimals(next))
	}
}
