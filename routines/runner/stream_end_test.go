package runner_test

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"fettle/routines"
	"fettle/routines/runner"
	"fettle/serialio/gcode"
)

// Whatever ends a stream, at whatever moment, under way or held: the run ends with it, the printer is given back, and the
// record says how far the program came, which is what the printer obeyed but for the last lines that nothing proves.
func TestAStreamIsBrokenOff(t *testing.T) {
	ends := map[string]struct {
		by    func(*shop)
		state string
	}{
		"stop":      {func(s *shop) { s.runner.Stop(printerID, "Bob") }, runner.Stopped},
		"halt":      {func(s *shop) { s.runner.Halt(printerID, "Bob") }, runner.Stopped},
		"unplugged": {func(s *shop) { s.cable.cut(false); s.rest(time.Minute); s.cable.plug() }, runner.Interrupted},
		"a wink":    {func(s *shop) { s.cable.cut(false); s.cable.plug() }, runner.Interrupted},
		"restarted": {func(s *shop) { s.printer.Reset() }, runner.Interrupted},
	}
	turn := 0
	for _, name := range slices.Sorted(maps.Keys(ends)) {
		end := ends[name]
		for _, held := range []bool{false, true} {
			if turn++; turn%min(stride, 3) != 0 { // each third under the race detector
				continue
			}
			for after := 15 * time.Second; after < 100*time.Second; after += 41 * stride * time.Second {
				t.Run(fmt.Sprintf("%s, held %t, after %v", name, held, after), func(t *testing.T) {
					withRoutine(t, heatsAndStreams(piece()), func(s *shop) {
						run := s.streaming(after)
						if held {
							s.pause()
							s.await(run)
							s.rest(time.Minute)
						}
						end.by(s)
						s.isBrokenOff(run, end.state)
					})
				})
			}
		}
	}
}

// isBrokenOff judges the end of a stream, and what the printer is like after it.
func (s *shop) isBrokenOff(run, state string) {
	s.t.Helper()
	s.rest(10 * time.Second)
	v := s.await(run)
	name, done := s.streamed(run)
	if v.State != state || v.Cause == "" || v.Question != nil || name != "broken off" {
		s.t.Errorf("%s %q %+v: %s", v.State, v.Cause, v.Question, name)
	}
	moves, obeyed := done.Lines-pieceBefore, s.pieceObeyed()
	if obeyed < moves-done.Unsure || obeyed > moves+1 || done.OfLines != pieceLines || moves < 1 {
		s.t.Errorf("told done: %d moves, %d of them unsure; obeyed: %d", moves, done.Unsure, obeyed)
	}
	if s.printer.Snapshot().Halted { // somebody switches it off and on
		s.printer.Reset()
		s.runner.Wake(printerID, "Bob")
	}
	s.rest(5 * time.Minute)
	if n := s.pieceObeyed(); n > moves+1 {
		s.t.Errorf("afterwards it obeyed %d", n)
	}
	s.isGivenBack()
}

// The agent ends in good order in the middle, under way or held: so does the run.
func TestAShutdownEndsAStream(t *testing.T) {
	for _, held := range []bool{false, true} {
		withRoutine(t, heatsAndStreams(piece()), func(s *shop) {
			run := s.streaming(30 * time.Second)
			if held {
				s.pause()
				s.await(run)
			}
			s.shutDown()
			s.open()
			s.rest(time.Minute)
			v := s.view(run)
			if name, done := s.streamed(run); v.State != runner.Interrupted || name != "broken off" || done.Lines < 60 {
				t.Errorf("held %t: %s %s, %s %+v", held, v.State, v.Cause, name, done)
			}
			s.isGivenBack()
		})
	}
}

// A heater fault in the middle of a program is quoted, as in a feed.
func TestAHeaterFaultEndsAStream(t *testing.T) {
	withRoutine(t, heatsAndStreams(piece()), func(s *shop) {
		run := s.streaming(20 * time.Second)
		s.printer.Bench().BreakHeater(true)
		v := s.await(run)
		if name, done := s.streamed(run); v.State != runner.Failed || name != "broken off" || done.Lines == pieceLines || s.printer.Snapshot().Hot {
			t.Errorf("%s %s: %s %+v", v.State, v.Cause, name, done)
		}
	})
}

// What is not let through is not sent, and no act that only looks moves anything by a program.
func TestAProgramIsHeldToItsAct(t *testing.T) {
	lines := func(texts ...string) gcode.Program {
		return gcode.Program{Steps: func(yield func(gcode.Step) bool) {
			for _, text := range texts {
				b, _ := gcode.Parse(text)
				if !yield(gcode.Step{Block: b}) {
					return
				}
			}
		}}
	}
	for want, p := range map[string]gcode.Program{
		"line 2: M109 was not sent": lines("G28", "M109 S200"),
		"line 2: G1 was not sent":   lines("G28", "G1 X300 F6000"),
		"line 1: M104 was not sent": lines("M104 S240"), // the material's limit is 230
	} {
		withRoutine(t, heatsAndStreams(p), func(s *shop) {
			v := s.finish(s.begin(printing()).ID, nil)
			if v.State != runner.Failed || !strings.Contains(v.Cause, want) || len(s.obeyed("G28", "M109", "G1 X300")) > 0 || slices.Contains(s.events(v.ID), "streamed") {
				t.Errorf("%s %s: %v", v.State, v.Cause, s.obeyed("G28"))
			}
			s.atPeace()
		})
	}
	for _, p := range []gcode.Program{lines("G28"), lines("M104 S100"), lines("M83", "G1 E1 F60")} {
		looks := heatsAndStreams(p)
		looks.Do = func(r *routines.Run) (routines.Finding, error) {
			_, err := routines.Act(r, "look", routines.Looks, streamOf(p))
			return routines.Finding{Kind: "seen"}, err
		}
		withRoutine(t, looks, func(s *shop) {
			v := s.finish(s.begin(printing()).ID, nil)
			if v.State != runner.Failed || !strings.Contains(v.Cause, "only looks") || s.printer.Snapshot().Moves > 0 || s.printer.Snapshot().Hot {
				t.Errorf("%s %s", v.State, v.Cause)
			}
		})
	}
}
