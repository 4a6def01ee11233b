package main

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"fettle/routines/logbook"
	"fettle/routines/runner"
	"fettle/serialio/standin"
)

// A piece under way is held and goes on, is stopped, loses its cable, or its agent. The printer is cool behind it, what is on
// record is whole on the bed, and the next run of the ladder asks for the grades of just those bands.
func TestAPieceIsBrokenOff(t *testing.T) {
	t.Parallel() // it mostly waits for its printers
	stopped := func(v *victim) { v.call(http.MethodPost, "/v1/printers/window/stop", nil, nil) }
	for _, c := range []struct {
		name  string
		band  string // in which it happens
		does  func(v *victim)
		state string // of the run
	}{
		{"held", "A", (*victim).holdAndGoOn, runner.Finished},
		{"held, then stopped", "B", func(v *victim) { v.hold(); stopped(v) }, runner.Stopped},
		{"stopped", "C", stopped, runner.Stopped},
		{"unplugged", "B", (*victim).pullAndPlugIn, runner.Interrupted},
		{"killed", "B", (*victim).killAndStart, runner.Interrupted},
	} {
		if testing.Short() && c.name != "stopped" {
			continue
		}
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			v := newVictim(t, demoProfile(), hurry)
			v.printer.Bench().Load(strandOf(inventedMaterials[0]), false)
			before := v.printer.Snapshot().RAM
			v.start(0)
			defer v.quit()
			v.climb()
			v.untilIn("r1", "piece 1 band "+c.band)
			c.does(v)
			v.endsAs(c.state)
			v.isCool()
			v.hasBack(before)
			v.goesOnWith(strings.Index("ABCDEFGH", c.band), c.state == runner.Finished)
		})
	}
}

// climb begins a retraction ladder.
func (v *victim) climb() {
	v.Helper()
	v.call(http.MethodPost, "/v1/runs", map[string]any{"printer": "window", "routine": "retraction_ladder", "material": "plum-pla", "attended": true,
		"inputs": map[string]any{"without_feed_check": true}}, nil)
}

// untilIn answers until an act of a run has sent some lines.
func (v *victim) untilIn(id, act string) {
	v.Helper()
	for begun := false; ; {
		var view seen
		v.call(http.MethodGet, "/v1/runs/"+id+"?until=asking,changed,ended&within=5s", nil, &view)
		if view.over() {
			v.Fatalf("%s before %s: %s", view.State, act, view.Cause)
		}
		if q := view.Question; q != nil {
			answer := v.hand(*q)
			answer["question"] = q.Number
			v.call(http.MethodPost, "/v1/runs/"+id+"/answers", answer, nil)
		}
		begun = begun || v.hasBegun(id, act)
		if begun && view.Doing != nil && view.Doing.What == "streaming" && view.Doing.Lines > 50 {
			return
		}
	}
}

func (v *victim) hasBegun(id, act string) bool {
	v.Helper()
	_, raw, err := v.try(http.MethodGet, "/v1/runs/"+id+"/events", nil)
	if err != nil {
		v.Fatal(err)
	}
	return strings.Contains(string(raw), `"kind":"begun","name":"`+act+`"`)
}

func (v *victim) hold() {
	v.Helper()
	v.call(http.MethodPost, "/v1/printers/window/pause", nil, nil)
	if s, _ := v.see("r1"); s.Question == nil || s.Question.Name != "runner: go on" {
		v.Fatalf("held, it asks %+v: %s %s", s.Question, s.State, s.Cause)
	}
}

// holdAndGoOn holds the piece and lets it come to its end; the next is for later.
func (v *victim) holdAndGoOn() {
	v.Helper()
	v.hold()
	for {
		s, _ := v.see("r1")
		if s.over() {
			return
		}
		if s.Question == nil {
			continue
		}
		answer := map[string]any{"next": "later"}
		if s.Question.Name != "piece 2" {
			answer = v.hand(*s.Question)
		}
		answer["question"] = s.Question.Number
		v.call(http.MethodPost, "/v1/runs/r1/answers", answer, nil)
	}
}

func (v *victim) pullAndPlugIn() {
	v.Helper()
	if err := v.cable.Unplug(); err != nil {
		v.Fatal(err)
	}
	if s, _ := v.see("r1"); !s.over() {
		v.Errorf("unplugged, the run is %s", s.State)
	}
	if !v.printer.Snapshot().Hot {
		v.Error("there was no heat to give back")
	}
	if err := v.cable.Replug(); err != nil {
		v.Fatal(err)
	}
}

func (v *victim) killAndStart() {
	v.Helper()
	v.process.Process.Kill()
	v.gone()
	if !v.printer.Snapshot().Hot {
		v.Error("there was no heat to give back")
	}
	v.start(0)
}

func (v *victim) endsAs(state string) {
	v.Helper()
	s, _ := v.see("r1")
	for !s.over() {
		s, _ = v.see("r1")
	}
	if s.State != state {
		v.Errorf("the run is %s: %s; want %s", s.State, s.Cause, state)
	}
	v.settled()
}

// isCool: the heaters are off, the fan too, and nothing is left to do.
func (v *victim) isCool() {
	v.Helper()
	now := v.printer.Snapshot()
	if now.NozzleTargetC != 0 || now.BedTargetC != 0 || now.Fan != 0 || now.Queued > 0 {
		v.Errorf("nozzle %g °C, bed %g °C, fan %g, %d moves queued", now.NozzleTargetC, now.BedTargetC, now.Fan, now.Queued)
	}
	if owed := v.owed(); len(owed) > 0 {
		v.Errorf("owed: %v", owed)
	}
}

// hasBack: what the firmware held before is what it holds now.
func (v *victim) hasBack(before standin.Settings) {
	v.Helper()
	now := v.printer.Snapshot().RAM
	for word, letters := range map[string]string{"M204": "PTR", "M207": "SFZ", "M208": "SF"} {
		for _, letter := range letters {
			was, _ := before.Value(word, byte(letter))
			if is, _ := now.Value(word, byte(letter)); is != was {
				v.Errorf("%s %c is %g and was %g", word, letter, is, was)
			}
		}
	}
}

// goesOnWith begins the ladder anew. before is how many bands were whole when the piece was broken off.
func (v *victim) goesOnWith(before int, judged bool) {
	v.Helper()
	whole := len(v.printer.Bench().LookAtPiece(0).Bands)
	var log struct{ Entries []logbook.Entry }
	v.call(http.MethodGet, "/v1/logbook?kind=band", nil, &log)
	recorded := len(log.Entries)
	if judged {
		if recorded != 8 || whole != 8 {
			v.Errorf("%d bands are on record, %d are whole", recorded, whole)
		}
		return
	}
	if recorded < before || recorded > whole {
		v.Errorf("%d bands are on record, %d are whole, and at least %d were", recorded, whole, before)
	}
	v.climb()
	s, _ := v.see("r2")
	if s.Question == nil || s.Question.Name != "grades 1" {
		v.Fatalf("the next run asks %+v: %s %s", s.Question, s.State, s.Cause)
	}
	asked := 0
	for _, f := range s.Question.Fields {
		if strings.HasSuffix(f.Name, "_grade") {
			asked++
		}
	}
	if asked != recorded {
		v.Errorf("%d bands are on record, and %d are asked for", recorded, asked)
	}
	answer := v.hand(*s.Question)
	answer["question"] = s.Question.Number
	v.call(http.MethodPost, "/v1/runs/r2/answers", answer, nil)
	s, _ = v.see("r2")
	if s.Question == nil || s.Question.Name != "piece 2" {
		v.Fatalf("then it asks %+v: %s %s", s.Question, s.State, s.Cause)
	}
	v.call(http.MethodPost, "/v1/runs/r2/answers", map[string]any{"question": s.Question.Number, "next": "later"}, nil)
	s, _ = v.see("r2")
	var pieces float64
	if pieces, _ = value(s.RunView, "pieces"); pieces != 1 || s.State != runner.Finished {
		raw, _ := json.Marshal(s.Finding)
		v.Errorf("%s, %s", s.State, raw)
	}
	v.Logf("%d bands on record, %d whole on the bed, %d asked for", recorded, whole, asked)
}
