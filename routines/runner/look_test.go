package runner_test

import (
	"slices"
	"strings"

	"fettle/routines/logbook"
)

// stored are a run's events.
func (s *shop) stored(run string) []logbook.Event {
	s.t.Helper()
	all, err := s.book.Events(s.ctx(), logbook.Filter{Run: run})
	if err != nil {
		s.t.Fatal(err)
	}
	return all
}

// events are the kinds and names of a run's events, in order.
func (s *shop) events(run string) []string {
	s.t.Helper()
	all := s.stored(run)
	out := make([]string, len(all))
	for i, e := range all {
		out[i] = e.Kind + " " + e.Name
	}
	return out
}

func (s *shop) count(run, event string) (n int) {
	s.t.Helper()
	for _, e := range s.events(run) {
		if strings.HasPrefix(e, event) {
			n++
		}
	}
	return n
}

func (s *shop) entries(kind string) []logbook.Entry {
	s.t.Helper()
	all, err := s.book.Entries(s.ctx(), logbook.Filter{Kind: kind})
	if err != nil {
		s.t.Fatal(err)
	}
	return all
}

func (s *shop) owed() []string {
	s.t.Helper()
	rows, err := s.book.Owed(s.ctx(), printerID)
	if err != nil {
		s.t.Fatal(err)
	}
	what := []string{}
	for _, row := range rows {
		what = append(what, row.What)
	}
	return what
}

// obeyed are the words that the printer obeyed whose text begins with one of prefixes, in order.
func (s *shop) obeyed(prefixes ...string) []string {
	var out []string
	for _, o := range s.printer.Snapshot().Obeyed {
		if slices.ContainsFunc(prefixes, func(p string) bool { return strings.HasPrefix(o.Block, p) }) {
			out = append(out, o.Block)
		}
	}
	return out
}

// inUse and inStore are what the printer holds.
func (s *shop) inUse(word string, letter byte) float64 {
	v, _ := s.printer.Snapshot().RAM.Value(word, letter)
	return v
}

func (s *shop) inStore(word string, letter byte) float64 {
	v, _ := s.printer.Snapshot().Stored.Value(word, letter)
	return v
}

// atPeace fails the test unless the printer is cold and everything has been given back.
func (s *shop) atPeace() {
	s.t.Helper()
	p := s.printer.Snapshot()
	if p.NozzleTargetC != 0 || p.BedTargetC != 0 || len(s.owed()) > 0 {
		s.t.Errorf("targets %g and %g °C, owed: %v", p.NozzleTargetC, p.BedTargetC, s.owed())
	}
}

// asFound fails the test unless multipliers and volume mode stand as before we came.
func (s *shop) asFound(flow, speed, diameter float64) {
	s.t.Helper()
	p := s.printer.Snapshot()
	if p.FlowPercent != flow || p.FeedPercent != speed || s.inUse("M200", 'D') != diameter {
		s.t.Errorf("flow %g %%, speed %g %%, M200 D%g; found were %g, %g, %g", p.FlowPercent, p.FeedPercent, s.inUse("M200", 'D'), flow, speed, diameter)
	}
}
