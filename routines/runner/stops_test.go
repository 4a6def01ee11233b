package runner_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"fettle/routines/runner"
	"fettle/serialio/gcode"
	"fettle/serialio/standin"
)

// drive answers whatever is asked until the run has ended, and returns how many answers were acknowledged.
func (s *shop) drive(run string, p person) (v runner.RunView, acknowledged int) {
	s.t.Helper()
	for {
		v = s.await(run)
		if v.Question == nil {
			return v, acknowledged
		}
		_, err := s.runner.Answer(s.ctx(), run, v.Question.Number, []byte(s.says(v.Question, p)), "Ada")
		if err == nil {
			acknowledged++
		} else if !errors.Is(err, runner.ErrNotAsking) {
			s.t.Fatal(err)
		}
	}
}

func TestAStopAtAnyEventEndsARun(t *testing.T) {
	last := 0
	inBubble(t, slow(), func(s *shop) {
		last = len(s.stored(s.finish(s.begin(order()).ID, nil).ID))
	})
	if last < 30 {
		t.Fatalf("a whole check has %d events", last)
	}
	for n := 1; n < last-1; n += stride {
		t.Run(fmt.Sprint("event ", n), func(t *testing.T) {
			t.Parallel()
			inBubble(t, slow(), func(s *shop) {
				run := s.begin(order()).ID
				s.atEvent(run, n, func() { s.runner.Stop(printerID, "Bob") })
				s.isStopped(run)
			}, "M221 S95", "M220 S80", "M200 D1.75")
		})
	}
}

func TestAStopAtAnyMomentEndsARun(t *testing.T) {
	random := rand.New(rand.NewPCG(4, 3))
	for range 14 / stride {
		after := time.Duration(random.Int64N(int64(110 * time.Second)))
		t.Run(after.String(), func(t *testing.T) {
			t.Parallel()
			inBubble(t, slow(), func(s *shop) {
				run := s.begin(order()).ID
				time.AfterFunc(after, func() {
					s.runner.Stop(printerID, "Bob")
					s.runner.Stop(printerID, "Cleo")
				})
				s.isStopped(run)
			}, "M221 S95", "M220 S80", "M200 D1.75")
		})
	}
}

// isStopped drives a run that somebody stops, and judges how it ended.
func (s *shop) isStopped(run string) {
	s.t.Helper()
	v, acknowledged := s.drive(run, person{"another": `{"another":true}`})
	s.rest(time.Minute)
	if v.State != runner.Stopped || v.Cause != "stopped by Bob" {
		s.t.Errorf("it is %s: %s", v.State, v.Cause)
	}
	if n := s.count(run, "answered"); n < acknowledged {
		s.t.Errorf("%d answers were acknowledged, %d are kept", acknowledged, n)
	}
	if s.stopsKept("Bob") != 1 {
		s.t.Error("who pressed is not on record")
	}
	s.atPeace()
	s.asFound(95, 80, 1.75)
	p := s.view(run)
	if p.State != runner.Stopped {
		s.t.Errorf("a minute later it is %s", p.State)
	}
	if moves := s.printer.Snapshot().Queued; moves > 0 {
		s.t.Errorf("%d moves are still queued", moves)
	}
}

func (s *shop) stopsKept(who string) (n int) {
	for _, e := range s.stored("") {
		if e.Kind == "stop pressed" && e.Printer == printerID && e.Who == who {
			n++
		}
	}
	return n
}

// A stop needs no store: with the logbook gone its words still reach the printer at once.
func TestAStopNeedsNoStore(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		s.until(s.begin(order()).ID, "mark", nil)
		if s.printer.Snapshot().NozzleTargetC != 210 {
			t.Fatal("it is not hot")
		}
		s.book.Close()
		if err := s.runner.Stop(printerID, "Bob"); err != nil {
			t.Fatal(err)
		}
		s.rest(0)
		if c := s.printer.Snapshot().NozzleTargetC; c != 0 {
			t.Errorf("after Stop the target is %g °C", c)
		}
	})
}

func TestAHaltStopsTheFirmware(t *testing.T) {
	inBubble(t, standin.Invented(), func(s *shop) {
		run := s.until(s.begin(order()).ID, "mark", nil).ID
		if err := s.runner.Halt(printerID, "Bob"); err != nil {
			t.Fatal(err)
		}
		s.rest(0)
		v := s.await(run)
		if v.State != runner.Stopped || v.Cause != "halted by Bob" || !s.printer.Snapshot().Halted || s.printer.Snapshot().Hot {
			t.Errorf("%s: %s", v.State, v.Cause)
		}
		s.rest(time.Minute)
		if _, err := s.runner.Begin(s.ctx(), order()); !errors.Is(err, runner.ErrNotListening) {
			t.Errorf("a halted printer takes a run: %v", err)
		}
		if p, _ := s.runner.Printer(s.ctx(), printerID); p.Line.State != "halted" || len(p.Due) == 0 {
			t.Errorf("it is shown as %+v, due %v", p.Line, p.Due)
		}
		s.runner.Wake(printerID, "Bob")
		s.rest(time.Minute)
		s.atPeace()
		if v := s.finish(s.begin(order()).ID, nil); v.State != runner.Finished {
			t.Errorf("after Wake: %s %s", v.State, v.Cause)
		}
	})
}

// A firmware that stops itself is quoted, and beside its own words stands what they mean.
func TestAFaultOfThePrinterIsQuoted(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		run := s.until(s.begin(order()).ID, "mark", nil).ID
		s.printer.Bench().BreakHeater(true)
		time.Sleep(2 * time.Minute)
		v, err := s.runner.Printer(s.ctx(), printerID)
		if err != nil || v.Line.State != "halted" {
			t.Fatalf("%+v %v", v.Line, err)
		}
		s.isQuoted("while it waits", v.Line.Fault)
		if p := v.Line.Plain; p == nil || p.Kind != gcode.Runaway || p.Heater != "the nozzle" || p.Means == "" || p.Look == "" {
			t.Errorf("in plain words it is %+v", p)
		}
		ended, _ := s.drive(run, nil)
		if ended.State != runner.Failed {
			t.Errorf("it is %s", ended.State)
		}
		s.isQuoted("when it was to go on", ended.Cause)
		if p := v.Line.Plain; p != nil && !strings.Contains(ended.Cause, p.Means) {
			t.Errorf("the run's end does not say %q: %s", p.Means, ended.Cause)
		}
	})
	warm := slow()
	warm.MinExtrudeC = 1 // or it says first that it is too cold to feed
	inBubble(t, warm, func(s *shop) {
		long := order()
		long.Inputs = []byte(`{"gauge":"caliper","commanded_mm":100}`)
		run := s.until(s.begin(long).ID, "mark", nil).ID
		s.after.set(func(block string) {
			if block == "G92 E0" {
				s.printer.Bench().BreakHeater(true)
			}
		})
		v, _ := s.drive(run, nil)
		if v.State != runner.Failed {
			t.Errorf("it is %s", v.State)
		}
		s.isQuoted("during a feed", v.Cause)
		if s.printer.Snapshot().Hot {
			t.Error("it is hot")
		}
		s.runner.Wake(printerID, "Bob")
		s.rest(time.Minute)
		if p, _ := s.runner.Printer(s.ctx(), printerID); p.Line.Plain != nil {
			t.Errorf("awake, it is shown as %+v", p.Line)
		}
	})
}

func (s *shop) isQuoted(when, cause string) {
	s.t.Helper()
	const words = "Thermal Runaway, system stopped! Heater_ID: 0"
	if !strings.Contains(cause, words) {
		s.t.Errorf("%s %q does not quote %q", when, cause, words)
	}
}

func TestWhoIsNotThereCannotBeStopped(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		for _, press := range []func(string, string) error{s.runner.Stop, s.runner.Halt, s.runner.Wake} {
			if err := press("nobody", "Bob"); !errors.Is(err, runner.ErrNoPrinter) {
				t.Error(err)
			}
		}
		ctx, cancel := context.WithCancel(s.ctx())
		cancel()
		if v, err := s.runner.Await(ctx, "r1", nil); !errors.Is(err, runner.ErrNoRun) {
			t.Errorf("%+v %v", v, err)
		}
	})
}
