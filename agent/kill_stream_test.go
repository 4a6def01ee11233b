package main

import (
	"bytes"
	"context"
	"encoding/json"
	"net/http"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"

	"fettle/routines/logbook"
	"fettle/routines/runner"
	"fettle/serialio/standin"
)

// The agent is killed in the middle of a program, at a line or while a person holds it. The printer is hot then and at
// work. In the next life its heaters are told off, what the program left behind is given back, nothing more is sent of it,
// and the record says how far it came as far as that was kept.
func TestKilledInTheMiddleOfAProgram(t *testing.T) {
	for _, at := range []int64{3, 150, 1200} {
		profile := demoProfile()
		var pid, moves atomic.Int64
		profile.FromHost = func(p []byte) []byte {
			if n := moves.Add(int64(bytes.Count(p, []byte("E0.3")))); n >= at {
				if victim := pid.Swap(0); victim > 0 {
					syscall.Kill(int(victim), syscall.SIGKILL)
				}
			}
			return p
		}
		v := newVictim(t, profile, hurry)
		v.start(0)
		pid.Store(int64(v.process.Process.Pid))
		v.orderPiece()
		v.gone()
		v.isTakenCareOf(at)
	}
}

func TestKilledWhileAProgramIsHeld(t *testing.T) {
	v := newVictim(t, demoProfile(), hurry)
	v.start(0)
	v.orderPiece()
	for view := (seen{}); view.Doing == nil || view.Doing.Lines < 100; {
		v.call(http.MethodGet, "/v1/runs/r1?until=changed&within=5s", nil, &view)
	}
	v.call(http.MethodPost, "/v1/printers/window/pause", nil, nil)
	if s, there := v.see("r1"); !there || s.Question == nil || s.Question.Name != "runner: go on" {
		t.Fatalf("it asks %+v", s.Question)
	}
	v.process.Process.Kill()
	v.gone()
	v.isTakenCareOf(0)
}

// isTakenCareOf is the next life, which begins with a hot printer.
func (v *victim) isTakenCareOf(at int64) {
	v.Helper()
	if now := v.printer.Snapshot(); now.NozzleTargetC == 0 || now.Fan == 0 {
		v.Errorf("killed at move %d: the nozzle is asked for %g °C, the fan for %g: nothing was left to give back", at, now.NozzleTargetC, now.Fan)
	}
	v.start(0)
	s, _ := v.see("r1")
	for !s.over() {
		s, _ = v.see("r1")
	}
	v.settled()
	obeyed := piecesOf(v.printer.Snapshot().Obeyed)
	v.quit()
	if kept, onRecord := v.keptOfProgram(); s.State != runner.Interrupted || kept > obeyed || (onRecord && !strings.Contains(s.Cause, "of 2005 or later")) {
		v.Errorf("killed at move %d: %s %q; %d moves on record, %d obeyed", at, s.State, s.Cause, kept, obeyed)
	} else {
		v.Logf("killed at move %d: %s; %d moves on record, %d obeyed", at, s.Cause, kept, obeyed)
	}
	now := v.printer.Snapshot()
	accel, _ := now.RAM.Value("M204", 'P')
	if now.NozzleTargetC != 0 || now.BedTargetC != 0 || now.Fan != 0 || accel != 1000 || now.Queued > 0 || piecesOf(now.Obeyed) != obeyed {
		v.Errorf("killed at move %d: nozzle %g °C, bed %g °C, fan %g, M204 P%g, %d moves queued, %d obeyed since", at, now.NozzleTargetC, now.BedTargetC, now.Fan, accel, now.Queued, piecesOf(now.Obeyed)-obeyed)
	}
}

// piecesOf is how many moves of the piece are among what was obeyed.
func piecesOf(obeyed []standin.Obeyed) (n int) {
	for _, o := range obeyed {
		if strings.Contains(o.Block, "E0.3") {
			n++
		}
	}
	return n
}

// keptOfProgram is how many moves of the piece are on record as told done.
func (v *victim) keptOfProgram() (moves int, onRecord bool) {
	v.Helper()
	book := v.open()
	defer book.Close()
	events, err := book.Events(context.Background(), logbook.Filter{Run: "r1"})
	if err != nil {
		v.Fatal(err)
	}
	for _, e := range events {
		var p runner.Progress
		switch {
		case e.Kind == "streamed":
			v.Errorf("a program that was cut off is on record as streamed: %s", e.Body)
		case e.Kind == "streaming" && json.Unmarshal(e.Body, &p) == nil:
			moves, onRecord = p.Lines-pieceBefore, true
		}
	}
	return moves, onRecord
}
