package main

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/routines/runner"
	"fettle/serialio/standin"
)

// toldAbout lets somebody beside a cold stand-in take in events.
func toldAbout(t *testing.T) (p *bystander, bench standin.Bench, tell func(kind, name, body string)) {
	bench = newDry(t, standin.InventedDirect()).Bench()
	p = &bystander{}
	return p, bench, func(kind, name, body string) {
		p.follow(bench, logbook.Event{Kind: kind, Name: name, Body: json.RawMessage(body)})
	}
}

// Each answer about the filament makes the person do it, where the question wanted it.
func TestThePersonHandlesTheFilament(t *testing.T) {
	p, bench, tell := toldAbout(t)
	g, err := p.strand.gaugeNamed("digital_caliper")
	if err != nil {
		t.Fatal(err)
	}
	tell("asked", "flags 1", `{"figure":"flags","shown":{"flags_mm":100,"near_mm":25}}`)
	tell("answered", "flags 1", `{"flags_mm":101}`)
	if l := p.strand.look(bench, g); l.NearMM == nil || math.Abs(*l.NearMM-25) > 0.15 || math.Abs(*l.FlagsMM-101) > 0.15 || math.Abs(l.LeftoverMM-126) > 0.15 {
		t.Errorf("of the flags is seen %+v", l)
	}
	tell("asked", "unload", `{"figure":"unload","shown":{"pull_mm":80}}`)
	tell("answered", "unload", `{"pulled_back":true}`)
	if bench.FedMM() != -80 || bench.PathOpen() {
		t.Errorf("%g mm are in, the path is open: %t", bench.FedMM(), bench.PathOpen())
	}
	tell("answered", "coupler", `{"undone":true}`)
	if l := p.strand.look(bench, g); !bench.PathOpen() || l.PieceMM != nil {
		t.Errorf("the path is open: %t; of a piece is seen %v", bench.PathOpen(), l.PieceMM)
	}
	tell("answered", "cut 1", `{"cut":true}`)
	if l := p.strand.look(bench, g); l.PieceMM == nil {
		t.Error("no piece is seen after a cut")
	}
	tell("run ended", "stopped", `{}`)
	if bench.PathOpen() {
		t.Error("the path is still open when the run is over")
	}
	tell("answered", "path", `{"path_open":true}`)
	if !bench.PathOpen() {
		t.Error("the path was not opened for a cold feed")
	}
}

// The place across which is read is the one last asked about; a run knows no place before.
func TestThePersonReadsAcrossWhereAsked(t *testing.T) {
	p, bench, tell := toldAbout(t)
	g, _ := p.strand.gaugeNamed("digital_caliper")
	tell("run begun", "filament_diameter", string(mustJSON(t, routines.Begin{Material: inventedMaterials[0]})))
	if l := p.strand.look(bench, g); l.AcrossMM != nil {
		t.Errorf("nobody asked about a place, and %g is read", *l.AcrossMM)
	}
	var read []float64
	for _, at := range []string{`"place":1,"square":false`, `"place":1,"square":true`, `"place":2,"square":false`, `"place":2,"square":true`} {
		tell("asked", "reading", `{"figure":"across","shown":{`+at+`}}`)
		mm := p.strand.look(bench, g).AcrossMM
		if mm == nil || math.Abs(*mm-1.75) > 0.08 {
			t.Fatalf("read at %s is %v", at, mm)
		}
		read = append(read, *mm)
	}
	slices.Sort(read)
	if len(slices.Compact(read)) == 1 {
		t.Errorf("everywhere the same: %v", read)
	}
}

// A gauge of one's own is read with as its owner described it to the run, and with none before.
func TestAGaugeOfOnesOwnIsTheOneDescribed(t *testing.T) {
	p, bench, tell := toldAbout(t)
	_, err := p.strand.gaugeNamed("own")
	if err == nil || !strings.Contains(err.Error(), "own in a run") {
		t.Errorf("undescribed it is %v", err)
	}
	tell("run begun", "feed_check", string(mustJSON(t, routines.Begin{Inputs: json.RawMessage(`{"gauge":"own","own_division_mm":0.25,"own_limit_mm":0.1}`)})))
	tell("answered", "mark 1", `{"mark_mm":120}`)
	g, err := p.strand.gaugeNamed("own")
	if err != nil {
		t.Fatal(err)
	}
	if l := p.strand.look(bench, g); math.Mod(l.LeftoverMM, 0.25) != 0 || math.Abs(l.LeftoverMM-120) > 0.6 || l.Gauge != "own" {
		t.Errorf("it shows %+v", l)
	}
}

// TestTheDemosPersonGoesEachWay: whoever answers over HTTP alone, and looks by GET /v1/demo/look, comes to the true value by
// the ways that want more done than a mark set.
func TestTheDemosPersonGoesEachWay(t *testing.T) {
	if testing.Short() {
		t.Skip("five checks take longer than -short allows")
	}
	t.Parallel() // it mostly waits for its printers
	d := startPrinters(t, demoPrinters(), hurry, patient)
	for _, w := range []struct {
		printer, method, finding string
		truth                    float64
	}{{"window", "two_flags", "change", 95.876}, {"bench", "tube_end", "change", 94.512}, {"window", "cold", "leave", 0}} { // two flags have put it right
		t.Run(w.method, func(t *testing.T) {
			c := d
			c.TB, c.printer = t, w.printer
			var run runner.RunView
			c.call("POST", "/v1/runs", map[string]any{"printer": w.printer, "routine": "feed_check", "material": "plum-pla", "attended": true,
				"inputs": map[string]any{"method": w.method, "gauge": "caliper", "flow_mm3_per_s": 4, "verify": false}}, &run)
			run = c.finish(run.ID, nil)
			next, _ := value(run, "steps_per_mm")
			if run.Finding == nil || run.Finding.Kind != w.finding || math.Abs(next-w.truth) > 0.5 {
				t.Errorf("%s %s, finding %s", run.State, run.Cause, mustJSON(t, run.Finding))
			}
		})
	}
}
