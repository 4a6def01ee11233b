package runner_test

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"fettle/routines/runner"
	"fettle/serialio/standin"
)

// misreads is a printer whose reports of the nozzle say something else from a moment on, "" before.
type misreads struct{ says atomic.Pointer[string] }

func (m *misreads) printer() standin.Profile {
	p := greeting()
	p.ToHost = func(said []byte) []byte {
		says := m.says.Load()
		at := bytes.Index(said, []byte("T:"))
		if says == nil || at < 0 {
			return said
		}
		rest := said[at:]
		return slices.Concat(said[:at], []byte(*says), rest[bytes.Index(rest, []byte(" /")):])
	}
	return p
}

func (m *misreads) from(says string) { m.says.Store(&says) }

// What would end a feed ends a run that waits for an answer with heat on, and the heater goes off.
func TestHeatIsWatchedWhileAQuestionWaits(t *testing.T) {
	for says, sentence := range map[string]string{
		"T:320.0": "hotter than its limit of",
		"T:-20.0": "cannot be true",
		"T:80.0":  "cannot be true",
		"T:nan":   "no longer says how hot",
	} {
		var reports misreads
		inBubble(t, reports.printer(), func(s *shop) {
			run := s.until(s.begin(order()).ID, "mark", nil).ID
			s.rest(5 * time.Minute)
			if v := s.view(run); v.State != runner.Asking || s.printer.Snapshot().NozzleTargetC != 210 {
				t.Fatalf("healthy, it is %s: %s", v.State, v.Cause)
			}
			reports.from(says)
			s.rest(15 * time.Second)
			v := s.await(run)
			if v.State != runner.Failed || !strings.Contains(v.Cause, sentence) || v.Question != nil {
				t.Errorf("%s: %s %q %+v", says, v.State, v.Cause, v.Question)
			}
			if n := s.printer.Snapshot().NozzleTargetC; n != 0 {
				t.Errorf("%s: its target is %g °C", says, n)
			}
		})
	}
}

// A heater that somebody switches off at the printer is no fault: the question stands, cold, and is on record as such.
func TestHeatSwitchedOffAtThePrinterKeepsTheQuestion(t *testing.T) {
	inBubble(t, greeting(), func(s *shop) {
		v := s.until(s.begin(order()).ID, "mark", nil)
		s.atThePanel("M104 S0")
		s.rest(5 * time.Second)
		now := s.view(v.ID)
		if now.Question == nil || now.Question.Number != v.Question.Number || s.count(v.ID, "cooled it was switched off at the printer") != 1 {
			t.Fatalf("%s %s: %v", now.State, now.Cause, s.events(v.ID))
		}
		s.rest(20 * time.Minute)
		if n := s.count(v.ID, "cooled"); n != 1 || slices.Contains(s.owed(), "heat") {
			t.Errorf("%d times it is on record that it cooled; owed %v", n, s.owed())
		}
		s.answer(now, nil)
		s.asksForPresence(v.ID)
		if v = s.finish(v.ID, nil); v.State != runner.Finished {
			t.Errorf("%s: %s", v.State, v.Cause)
		}
	})
}

// Another target than ours is set right once; who sets it again means it, and the run ends.
func TestAnotherTargetIsSetRightOnce(t *testing.T) {
	inBubble(t, greeting(), func(s *shop) {
		run := s.until(s.begin(order()).ID, "mark", nil).ID
		s.atThePanel("M104 S215")
		s.rest(5 * time.Second)
		if v := s.view(run); v.State != runner.Asking || s.printer.Snapshot().NozzleTargetC != 210 {
			t.Errorf("once: %s %s, target %g °C", v.State, v.Cause, s.printer.Snapshot().NozzleTargetC)
		}
		for i := 0; s.view(run).State == runner.Asking && i < 5; i++ {
			s.atThePanel(fmt.Sprintf("M104 S%d", 216+i))
			s.rest(time.Second)
		}
		v := s.await(run)
		if v.State != runner.Failed || !strings.Contains(v.Cause, "did not arrive") || s.printer.Snapshot().Hot {
			t.Errorf("again and again: %s %s, target %g °C", v.State, v.Cause, s.printer.Snapshot().NozzleTargetC)
		}
	})
}

// A paused piece stands hot as any question does.
func TestHeatIsWatchedWhileAPieceIsPaused(t *testing.T) {
	var reports misreads
	onPrinter(t, reports.printer(), heatsAndStreams(piece()), func(s *shop) {
		run := s.streaming(20 * time.Second)
		s.pause()
		s.rest(5 * time.Minute)
		if v := s.view(run); v.State != runner.Asking {
			t.Fatalf("healthy, it is %s: %s", v.State, v.Cause)
		}
		reports.from("T:320.0")
		s.rest(15 * time.Second)
		v := s.await(run)
		if name, _ := s.streamed(run); v.State != runner.Failed || name != "broken off" || !strings.Contains(v.Cause, "hotter than its limit") || s.printer.Snapshot().Hot {
			t.Errorf("%s %s: %s", v.State, v.Cause, name)
		}
	})
}

// atThePanel has a block obeyed past everything of ours that keeps targets.
func (s *shop) atThePanel(block string) {
	s.t.Helper()
	if _, err := s.line.Send(s.ctx(), block); err != nil {
		s.t.Fatal(err)
	}
}
