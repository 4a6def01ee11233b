package main

import (
	"math"
	"net/http"
	"slices"
	"testing"

	"fettle/routines/logbook"
	"fettle/routines/runner"
)

// way is one way to measure a fed length, at a printer that it is for.
type way struct {
	method, gauge string
	inputs        map[string]any // beside both
	tube          bool
}

func ways() []way {
	return []way{
		{method: "inlet", gauge: "caliper"},
		{method: "two_flags", gauge: "digital_caliper"},
		{method: "several_lengths", gauge: "vernier_caliper", inputs: map[string]any{"lengths": 4}},
		{method: "cold", gauge: "own", inputs: map[string]any{"own_division_mm": 0.1, "own_limit_mm": 0.1}},
		{method: "tube_end", gauge: "digital_caliper", inputs: map[string]any{"flow_mm3_per_s": 4}, tube: true},
	}
}

// printer is a stand-in for it: the first of the demo, which feeds 97.0 of 100 mm, or the second, which feeds 98.4.
func (w way) printer() inventedPrinter {
	p := demoPrinters()[0]
	if w.tube {
		p = demoPrinters()[1]
		p.id = "window"
	}
	return p
}

// begin lets a person with that gauge begin the check.
func (w way) begin(v *victim) {
	v.Helper()
	inputs := map[string]any{"method": w.method, "gauge": w.gauge}
	for name, is := range w.inputs {
		inputs[name] = is
	}
	v.gauge = w.gauge
	v.orderA("feed_check", inputs)
}

// TestEachMethodFromFreshToWritten goes each way over a real pseudo-terminal and HTTP, up to the value in the printer: it is
// there, it is the true one within what is stated, and whatever was owed is given back.
func TestEachMethodFromFreshToWritten(t *testing.T) {
	t.Parallel() // it mostly waits for its printers
	for _, w := range ways() {
		t.Run(w.method, func(t *testing.T) {
			t.Parallel()
			p := w.printer()
			v := newVictimOf(t, p, hurry)
			before := v.printer.Snapshot().RAM
			v.start(0)
			defer v.quit()
			w.begin(v)
			v.live("r1")
			v.endsAs(runner.Finished)
			next := v.written()
			v.Logf("%s with %s: %.2f ± %.2f steps/mm, true are %.3f", w.method, w.gauge, *next.Value, *next.U95, p.profile.TrueStepsPerMM)
			if off := math.Abs(*next.Value - p.profile.TrueStepsPerMM); off > *next.U95 {
				v.Errorf("%g off, and ± %g is stated", off, *next.U95)
			}
			now := v.printer.Snapshot()
			inUse, _ := now.RAM.Value("M92", 'E')
			stored, _ := now.Stored.Value("M92", 'E')
			if inUse != *next.Value || stored != *next.Value {
				v.Errorf("the printer has %g in use and %g in its store, want %g", inUse, stored, *next.Value)
			}
			v.hasBack(before)
			v.isCool()
			v.blocksCold()
		})
	}
}

// orderA begins a run of a routine.
func (v *victim) orderA(routine string, inputs map[string]any) {
	v.Helper()
	raw := mustJSON(v, inputs)
	v.strand = strandHeld{own: ownGauge(raw)}
	status, said, err := v.try(http.MethodPost, "/v1/runs", map[string]any{"printer": "window", "routine": routine, "material": "plum-pla",
		"attended": true, "inputs": inputs})
	if err != nil || status != http.StatusCreated {
		v.Fatalf("begin %s: %d %s %v", routine, status, said, err)
	}
}

// written is the one value of steps/mm on record, which the printer is said to have.
func (v *victim) written() logbook.Entry {
	v.Helper()
	entries := v.entries("steps_per_mm")
	if len(entries) != 1 || entries[0].Standing != "verified" {
		s, _ := v.see("r1")
		v.Fatalf("on record are %+v; the finding is %s", entries, mustJSON(v, s.Finding))
	}
	return entries[0]
}

func (v *victim) entries(kind string) []logbook.Entry {
	v.Helper()
	var log struct{ Entries []logbook.Entry }
	v.call(http.MethodGet, "/v1/logbook?kind="+kind, nil, &log)
	return log.Entries
}

// blocksCold: the printer refuses to feed cold, as it did before.
func (v *victim) blocksCold() {
	v.Helper()
	if v.printer.Snapshot().ColdLifted {
		v.Error("the block of cold extrusion is still lifted")
	}
}

// Stopped in the middle of a cold feed: the block was lifted, is owed from then on, and is set again.
func TestAColdFeedIsStoppedInItsMiddle(t *testing.T) {
	t.Parallel() // it mostly waits for its printer
	w := ways()[slices.IndexFunc(ways(), func(w way) bool { return w.method == "cold" })]
	v := newVictimOf(t, w.printer(), hurry)
	v.start(0)
	defer v.quit()
	w.begin(v)
	v.untilFeeding("feed 1")
	now := v.printer.Snapshot()
	if !now.ColdLifted || now.NozzleTargetC != 0 || !slices.Contains(v.owed(), "block of cold extrusion") {
		t.Fatalf("feeding cold: lifted %t, nozzle target %g, owed %v", now.ColdLifted, now.NozzleTargetC, v.owed())
	}
	v.call(http.MethodPost, "/v1/printers/window/stop", nil, nil)
	v.endsAs(runner.Stopped)
	v.blocksCold()
	v.isCool()
	if left := v.printer.Bench().LeftoverMM(); left < 30 || left > 119.9 {
		t.Errorf("%.1f mm of 120 are left of a feed that was stopped in its middle", left)
	}
}

// untilFeeding answers until an act of the run moves filament.
func (v *victim) untilFeeding(act string) {
	v.Helper()
	for {
		var view seen
		v.call(http.MethodGet, "/v1/runs/r1", nil, &view)
		if view.over() {
			v.Fatalf("%s before %s: %s", view.State, act, view.Cause)
		}
		if q := view.Question; q != nil {
			answer := v.hand(*q)
			answer["question"] = q.Number
			v.call(http.MethodPost, "/v1/runs/r1/answers", answer, nil)
		}
		if v.hasBegun("r1", act) && v.printer.Snapshot().Queued > 0 {
			return
		}
	}
}

// Ten readings across the filament come to what it truly is at those places, within what is stated; nothing heats or moves.
func TestTheFilamentOfAStandInIsMeasuredAcross(t *testing.T) {
	t.Parallel() // it mostly waits for its printer
	profile := demoProfile()
	profile.FilamentMM = 1.72
	v := newVictim(t, profile, hurry)
	v.gauge = "digital_caliper"
	v.start(0)
	defer v.quit()
	v.orderA("filament_diameter", map[string]any{"gauge": v.gauge})
	v.live("r1")
	v.endsAs(runner.Finished)
	truth := 0.0
	for place := 1; place <= 5; place++ {
		truth += (v.printer.Bench().WidthMM(place, false) + v.printer.Bench().WidthMM(place, true)) / 10
	}
	kept := v.entries("filament_diameter_mm")
	if len(kept) != 1 || math.Abs(*kept[0].Value-truth) > *kept[0].U95 || math.Abs(*kept[0].Value-1.72) > 0.04 {
		t.Fatalf("kept is %s, and true are %.4f mm", mustJSON(t, kept), truth)
	}
	t.Logf("%.3f ± %.3f mm, true are %.4f", *kept[0].Value, *kept[0].U95, truth)
	if now := v.printer.Snapshot(); now.Moves > 0 || now.Hot {
		t.Errorf("it made %d moves; hot: %t", now.Moves, now.Hot)
	}
}
