package main

import (
	"fmt"
	"math"
	"net/http"
	"slices"
	"strings"
	"testing"

	"fettle/routines/logbook"
	"fettle/routines/runner"
)

// measure begins the diameter of a spool, with nobody said to be at the printer.
func (v *victim) measure(readings int) runner.RunView {
	v.Helper()
	var run runner.RunView
	v.call(http.MethodPost, "/v1/runs", map[string]any{"printer": "window", "routine": "filament_diameter", "material": "plum-pla",
		"inputs": map[string]any{"readings": readings, "spool": "plum, invented"}}, &run)
	return run
}

// across types one reading and returns what is asked next, or the end.
func (v *victim) across(run runner.RunView, mm float64) runner.RunView {
	v.Helper()
	v.call(http.MethodPost, "/v1/runs/"+run.ID+"/answers", map[string]any{"question": v.asked(run.ID).Question.Number, "across_mm": mm}, &run)
	return v.asked(run.ID)
}

// asked waits until a run asks, or is over.
func (v *victim) asked(id string) runner.RunView {
	v.Helper()
	s, there := v.see(id)
	if !there || s.Question == nil && !s.over() {
		v.Fatalf("run %s neither asks nor ended: %+v", id, s)
	}
	return s.RunView
}

// One spool from the first reading to what reckons with it, with an answer that is taken back and an agent that dies in the
// middle. Nobody is asked to be present, and the printer is told to do nothing.
func TestASpoolIsMeasuredAndReckonedWith(t *testing.T) {
	v := newVictim(t, demoProfile(), hurry)
	v.start(0)
	run := v.measure(4)
	if first := v.asked(run.ID); first.Question.Name != "reading 1" || first.Question.Figure != "across" {
		t.Fatalf("it begins with %+v", first.Question)
	}
	v.across(run, 1.70)
	slipped := v.across(run, 1.95)
	if q := slipped.Question; q.Name != "reading 3" || !strings.Contains(strings.Join(q.Warning, " "), "Reading 2 was 1.95") {
		t.Errorf("of a slip is said %q", q.Warning)
	}
	v.call(http.MethodPost, "/v1/runs/"+run.ID+"/take-back", map[string]any{}, &run)
	if again := v.asked(run.ID).Question; again.Name != "reading 2" {
		t.Errorf("taken back, it asks for %q", again.Name)
	}
	v.across(run, 1.72)
	if moved := v.hotOrMoved(); moved != "" {
		t.Errorf("the printer was told %s", moved)
	}
	v.process.Process.Kill()
	v.gone()
	v.start(0)
	if after := v.asked(run.ID); after.State != runner.Asking || after.Question.Name != "reading 3" {
		t.Fatalf("the next life: %s, %+v", after.State, after.Question)
	}
	v.across(run, 1.70)
	end := v.across(run, 1.72)
	if d, _ := value(seen{end}.RunView, "filament_diameter_mm"); end.State != runner.Finished || end.Finding.Kind != "diameter" || d != 1.71 {
		t.Fatalf("%s: %+v", end.State, end.Finding)
	}
	if row := v.docketRow("filament_diameter_mm"); row != "1.71 measured by run "+run.ID+" fresh true" {
		t.Errorf("the docket has %s", row)
	}
	if moved := v.hotOrMoved(); moved != "" {
		t.Errorf("the printer was told %s", moved)
	}
	v.reckonsWith(1.71)
	v.call(http.MethodPost, "/v1/printers/window/changes", map[string]any{"what": "new_spool", "material": "plum-pla"}, &struct{}{})
	if row := v.docketRow("filament_diameter_mm"); !strings.HasSuffix(row, "fresh false") {
		t.Errorf("after a new spool: %s", row)
	}
	v.quit()
}

// hotOrMoved is a line on the wire that heats or moves, "" where there is none.
func (v *victim) hotOrMoved() string {
	for line := range strings.Lines(v.wire(5000)) {
		for _, word := range []string{"M104 S", "M109", "M140 S", "M190", "G0 ", "G1 ", "G28", "M302"} {
			if strings.Contains(line, word) {
				return line
			}
		}
	}
	return ""
}

// reckonsWith holds the flow limit to a diameter: what it says will come out is the blocks and take-ups of its usual climb,
// times the section.
func (v *victim) reckonsWith(mm float64) {
	v.Helper()
	var run runner.RunView
	v.call(http.MethodPost, "/v1/runs", map[string]any{"printer": "window", "routine": "flow_limit", "material": "plum-pla", "attended": true,
		"inputs": map[string]any{"gauge": "caliper"}}, &run)
	q := v.asked(run.ID).Question
	shown, _ := q.Shown.(map[string]any)
	flows, _ := shown["flows_mm3_per_s"].([]any)
	volume, _ := shown["volume_mm3"].(float64)
	lengthMM := float64(len(flows)+2)*50 + 3*10
	if want := math.Round(lengthMM * math.Pi / 4 * mm * mm); q.Name != "air" || volume != want {
		v.Errorf("%q says %g mm³ of %g mm; of %g mm it is %g", q.Name, volume, lengthMM, mm, want)
	}
}

// Filament of the other size is named, and the docket stays as it was.
func TestASpoolOfTheWrongSizeIsNotRecorded(t *testing.T) {
	v := newVictim(t, demoProfile(), hurry)
	v.start(0)
	run := v.measure(4)
	for range 4 {
		run = v.across(run, 2.85)
	}
	if run.State != runner.Finished || run.Finding.Kind != "wrong_size" || !strings.Contains(run.Finding.Headline, "2.85") {
		t.Errorf("%s: %+v", run.State, run.Finding)
	}
	if row := v.docketRow("filament_diameter_mm"); row != "1.75 as the setup says fresh true" {
		t.Errorf("the docket has %s", row)
	}
	var log struct{ Entries []logbook.Entry }
	if v.get("/v1/logbook?kind=filament_wrong_size", &log); len(log.Entries) != 1 || *log.Entries[0].Value != 2.85 {
		t.Errorf("kept is %+v", log.Entries)
	}
	v.quit()
}

// The steps/mm of a feed check are of lengths alone; what lays plastic down reckons with the section.
func TestWhoReckonsWithTheDiameter(t *testing.T) {
	reads := map[string]bool{}
	for _, r := range registry {
		reads[r.Name] = slices.Contains(r.Reads, "filament_diameter_mm")
	}
	if got := fmt.Sprint(reads); got != "map[cable_check:false feed_check:false filament_diameter:false flow_limit:true retraction_ladder:true travel_ladder:true]" {
		t.Error(got)
	}
}
