package runner_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	check "fettle/routines/cable"
	"fettle/routines/runner"
	"fettle/serialio/standin"
)

func checking(lines string) runner.Order {
	o := printing()
	o.Routine, o.Attended, o.Inputs = "cable_check", false, json.RawMessage(`{"lines":`+lines+`}`)
	return o
}

// The cable check moves nothing: it needs nobody there, to begin or to go on.
func TestACableIsChecked(t *testing.T) {
	withRoutine(t, check.Check(), func(s *shop) {
		s.takesTime()
		held := false
		s.after.set(func(block string) {
			if !held && strings.HasPrefix(block, "G1 F") {
				held = true
				s.pause()
			}
		})
		v := s.until(s.begin(checking("3000")).ID, "runner: go on", nil)
		if len(v.Question.Warning) > 0 || v.Question.CoolsAt != nil {
			t.Errorf("%+v", v.Question)
		}
		s.rest(time.Hour)
		s.answer(v, nil)
		moves := s.printer.Snapshot().Moves
		v = s.finish(v.ID, nil)
		if v.State != runner.Finished || v.Finding.Kind != check.Fit || s.printer.Snapshot().Moves != moves || s.count(v.ID, "asked runner: present") != 0 {
			t.Errorf("%s %s %+v", v.State, v.Cause, v.Finding)
		}
		if e := s.entries("cable_check"); len(e) != 1 || e[0].Unit != "lines/s" {
			t.Errorf("%+v", e)
		}
		s.atPeace()
	})
}

// Byte for byte noise, both ways, from none to what no line lives with. Whatever it is, the check ends with a finding, and
// what is told done has been obeyed.
func TestACableIsFoundForItsNoise(t *testing.T) {
	for _, c := range []struct {
		rate float64
		kind string
	}{{0, check.Fit}, {1e-6, check.Fit}, {4e-6, check.Fit}, {4e-5, check.Noisy}, {2e-4, check.Noisy}, {1e-3, check.Noisy}} {
		p := greeting()
		p.FromHost, p.ToHost = standin.Noise(5, c.rate), standin.Noise(6, c.rate)
		onPrinter(t, p, check.Check(), func(s *shop) {
			s.takesTime()
			v := s.finish(s.begin(checking("4000")).ID, nil)
			name, done := s.streamed(v.ID)
			if v.State != runner.Finished || v.Finding.Kind != c.kind {
				t.Fatalf("%g: %s %s %+v", c.rate, v.State, v.Cause, v.Finding)
			}
			t.Logf("%g: %s, %d lines, %d again, %d asked after, %d garbled: %s", c.rate, name, done.Lines, done.SentAgain, done.AskedAfter, done.Garbled, v.Finding.Reason)
			if obeyed := len(s.obeyed("G1 F")); name == "whole" && obeyed != 4000 || obeyed < done.Lines-done.Unsure {
				t.Errorf("%g: %d obeyed of %d told done, %d unsure", c.rate, obeyed, done.Lines, done.Unsure)
			}
		})
	}
}
