package runner_test

import (
	"slices"
	"testing"
	"time"

	"fettle/routines/logbook"
	"fettle/routines/runner"
)

// A script that says that somebody is there is not asked for it, until the nozzle went cold; hands away it is asked.
func TestAScriptMaySayThatSomebodyIsThere(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		o := order()
		o.Attended = true
		v := s.until(s.begin(o).ID, "mark", nil)
		if s.count(v.ID, "asked runner: present") != 0 || s.count(v.ID, "answered runner: hands away") != 1 {
			t.Error(s.events(v.ID))
		}
		s.rest(11 * time.Minute)
		s.answer(v, nil)
		s.asksForPresence(v.ID)
	})
}

// Typed heat that goes off at its limit does not take the heat of a run with it that begins in the same moment.
func TestARunHeatsThoughTypedHeatGoesOff(t *testing.T) {
	for d := time.Duration(0); d < 4*time.Second; d += 200 * stride * time.Millisecond {
		inBubble(t, slow(), func(s *shop) {
			s.listening()
			if _, err := s.runner.Line(s.ctx(), printerID, "M104 S200", true, "Bob"); err != nil {
				t.Fatal(err)
			}
			s.rest(10*time.Minute - time.Second + d)
			o := order()
			o.Attended = true
			began, err := s.runner.Begin(s.ctx(), o)
			if err != nil {
				t.Fatal(err)
			}
			v := s.until(began.ID, "mark", nil)
			if v.State != runner.Asking || s.printer.Snapshot().NozzleTargetC != 210 || !slices.Contains(s.owed(), "heat") {
				t.Errorf("%v after: %s %s, target %g °C, owed: %v", d, v.State, v.Cause, s.printer.Snapshot().NozzleTargetC, s.owed())
			}
			s.stop()
			s.atPeace()
		})
	}
}

// A process that does nothing else gives back what a killed agent owes.
func TestWhatAKilledAgentOwesIsGivenBack(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		s.until(s.begin(order()).ID, "mark", nil)
		s.cable.cut(false)
		s.shutDown() // it cannot reach the printer, and leaves it hot
		if !s.printer.Snapshot().Hot {
			t.Fatal("it is cold")
		}
		s.cable.plug()
		s.settleAlone()
		if s.printer.Snapshot().Hot {
			t.Error("it is hot")
		}
		s.asFound(95, 80, 1.75)
	}, "M221 S95", "M220 S80", "M200 D1.75")
}

// settleAlone opens the book, settles and closes it again.
func (s *shop) settleAlone() {
	s.t.Helper()
	book, err := logbook.Open(s.ctx(), s.path)
	if err != nil {
		s.t.Fatal(err)
	}
	defer book.Close()
	r := runner.New(runner.Config{Book: book, Connect: s.connect, Log: quiet})
	if err := r.Settle(s.ctx(), logbook.Printer{ID: printerID}); err != nil {
		s.t.Error(err)
	}
	if rows, err := book.Owed(s.ctx(), printerID); err != nil || len(rows) > 0 {
		s.t.Error(rows, err)
	}
}

func TestPrintersAndMaterialsAreAdded(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		v, err := s.runner.AddPrinter(s.ctx(), logbook.Printer{Name: "The Second", Port: "another", Baud: 115200}, "Bob")
		if err != nil || v.ID != "the-second" || len(v.Due) != 1 {
			t.Errorf("%+v %v", v, err)
		}
		if _, err := s.runner.SetSetup(s.ctx(), v.ID, fitted(), "Bob"); err != nil {
			t.Error(err)
		}
		soft := rigid
		soft.ID = "soft"
		if _, err := s.runner.SetMaterial(s.ctx(), soft, "Bob"); err != nil {
			t.Error(err)
		}
		s.rest(10 * time.Second)
		wire, err := s.runner.Wire(v.ID)
		if err != nil || len(wire.Since(0)) == 0 {
			t.Error("nothing is on its wire", err)
		}
		s.shutDown()
		s.open()
		if all, err := s.runner.Printers(s.ctx()); err != nil || len(all) != 2 || all[1].Setup == nil || all[1].Setup.Version != 1 {
			t.Errorf("%+v %v", all, err)
		}
	})
}
