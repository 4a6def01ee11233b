package runner_test

import (
	"errors"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"fettle/routines"
	"fettle/routines/runner"
)

// A printer that is hot or moving for someone else is asked, and not touched, until a person stops it or it ends.
func TestAPrinterAtWorkForSomeoneElse(t *testing.T) {
	cases := map[string]struct {
		said []string
		ends []string // what ends it by itself
	}{
		"a hot nozzle": {[]string{"M104 S200"}, []string{"M104 S0"}},
		"a warm bed":   {[]string{"M140 S60"}, []string{"M140 S0"}},
		"a long move":  {[]string{"G1 X180 F60"}, nil},
	}
	for name, c := range cases {
		for _, way := range []string{"stopped", "ended"} {
			t.Run(name+", "+way, func(t *testing.T) {
				inBubble(t, slow(), func(s *shop) {
					theirs := len(s.printer.Snapshot().Obeyed)
					s.rest(20 * time.Second)
					if _, err := s.runner.Begin(s.ctx(), order()); !errors.Is(err, runner.ErrSomeoneElse) {
						t.Errorf("a run begins: %v", err)
					}
					if v, _ := s.runner.Printer(s.ctx(), printerID); v.SomeoneElse == "" {
						t.Error("nobody is told")
					}
					for _, o := range s.printer.Snapshot().Obeyed[theirs:] {
						word, _, _ := strings.Cut(o.Block, " ")
						if !slices.Contains([]string{"M110", "M115", "M105", "M114", "M503"}, word) {
							t.Errorf("it is sent %s", o.Block)
						}
					}
					s.endsTheirs(way, c.ends)
					if v := s.finish(s.begin(order()).ID, nil); v.State != runner.Finished {
						t.Errorf("%s %s", v.State, v.Cause)
					}
				}, c.said...)
			})
		}
	}
}

func (s *shop) endsTheirs(way string, words []string) {
	s.t.Helper()
	switch {
	case way == "stopped":
		s.runner.Stop(printerID, "Bob")
		s.rest(4 * time.Minute) // a move that has begun is not called back
	case words == nil:
		s.rest(4 * time.Minute)
	default:
		s.shutDown()
		s.cable.cut(true)
		s.cable.plug()
		s.saidBefore(words)
		s.open()
	}
}

// A line that is refused leaves nothing owed: what was never sent is not ours to switch off.
func TestARefusedLineDoesNotMakeTheirHeatOurs(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		s.listening()
		for _, attended := range []bool{false, true} {
			line := map[bool]string{false: "M104 S200", true: "M104 S290"}[attended]
			var field *routines.FieldError
			if _, err := s.runner.Line(s.ctx(), printerID, line, attended, "Bob"); !errors.As(err, &field) {
				t.Errorf("%s: %v", line, err)
			}
			if len(s.owed()) > 0 {
				t.Errorf("%s: owed is %v", line, s.owed())
			}
		}
		s.rest(30 * time.Minute)
		if c := s.printer.Snapshot().NozzleTargetC; c != 200 {
			t.Errorf("their nozzle is asked for %g °C now", c)
		}
		if _, err := s.runner.Begin(s.ctx(), order()); !errors.Is(err, runner.ErrSomeoneElse) {
			t.Error(err)
		}
	}, "M104 S200")
}

func TestTypedLines(t *testing.T) {
	cases := []struct {
		line     string
		attended bool
		sent     bool
		owed     string
	}{
		{"m105", false, true, ""},
		{"M104 S200", true, true, "heat"},
		{"M140 S60", true, true, "heat"},
		{"M106 S120", false, true, "fan"},
		{"M104 S0", false, true, ""},
		{"M104 S200", false, false, ""},
		{"G28", false, false, ""},
		{"M104 S281", true, false, ""},
		{"M109 S200", true, false, ""},
		{"M112", true, false, ""},
		{"M92 E100", true, false, ""},
		{"M500", true, false, ""},
		{"no line", true, false, ""},
		{"M105\nM104 S200", true, false, ""},
	}
	inBubble(t, slow(), func(s *shop) {
		s.listening()
		for _, c := range cases {
			said, err := s.runner.Line(s.ctx(), printerID, c.line, c.attended, "Bob")
			var field *routines.FieldError
			if (err == nil) != c.sent || (err != nil && !errors.As(err, &field)) {
				t.Errorf("%q: %v %v", c.line, said, err)
			}
			if want := strings.Fields(c.owed); !slices.Equal(s.owed(), append([]string{}, want...)) {
				t.Errorf("%q: owed is %v", c.line, s.owed())
			}
			s.runner.Stop(printerID, "") // gives it back
			s.rest(20 * time.Second)
			s.atPeace()
		}
	})
}

// Typed heat goes off when nobody has typed heat for the attended limit, whatever the clock on the wall says.
func TestTypedHeatGoesOffAtTheLimit(t *testing.T) {
	for _, jump := range []time.Duration{0, -50 * 365 * 24 * time.Hour, 20 * 365 * 24 * time.Hour} {
		inBubble(t, slow(), func(s *shop) {
			var jumped atomic.Int64
			jumped.Store(int64(jump))
			s.clock.set(func() (time.Time, bool) { return time.Now().Add(time.Duration(jumped.Load())), true })
			s.listening()
			heat := func() {
				if _, err := s.runner.Line(s.ctx(), printerID, "M104 S200", true, "Bob"); err != nil {
					t.Fatal(err)
				}
			}
			on := func() bool { return s.printer.Snapshot().NozzleTargetC == 200 }
			heat()
			jumped.Store(0)
			s.rest(9 * time.Minute)
			stillOn := on()
			heat()
			s.rest(10*time.Minute - 5*time.Second)
			stillOn = stillOn && on()
			s.rest(10 * time.Second)
			if !stillOn || on() {
				t.Errorf("clock jumped by %v: on until the limit: %t, on after it: %t", jump, stillOn, on())
			}
			s.atPeace()
		})
	}
}

func TestARunAndATypedLineExcludeEachOther(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		s.begin(order())
		if _, err := s.runner.Line(s.ctx(), printerID, "M105", false, "Bob"); !errors.Is(err, runner.ErrOccupied) {
			t.Error(err)
		}
		if _, err := s.runner.Begin(s.ctx(), order()); !errors.Is(err, runner.ErrOccupied) {
			t.Error(err)
		}
		if _, err := s.runner.SetSetup(s.ctx(), printerID, fitted(), "Bob"); !errors.Is(err, runner.ErrOccupied) {
			t.Error(err)
		}
		s.stop()
		s.before.set(func(block string) error { // while a typed line is on its way
			if block == "M119" {
				if _, err := s.runner.Begin(s.ctx(), order()); !errors.Is(err, runner.ErrOccupied) {
					t.Error(err)
				}
			}
			return nil
		})
		if _, err := s.runner.Line(s.ctx(), printerID, "M119", false, "Bob"); err != nil {
			t.Error(err)
		}
	})
}
