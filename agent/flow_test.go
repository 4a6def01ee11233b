package main

import (
	"bytes"
	"encoding/json"
	"math"
	"net/http"
	"slices"
	"strings"
	"testing"

	"fettle/routines/runner"
)

// flowBlockSeen is what is on record of a block.
type flowBlockSeen struct {
	FlowMM3PerS float64 `json:"flow_mm3_per_s"`
	SpeedMMPerS float64 `json:"speed_mm_per_s"`
	AreaMM2     float64 `json:"filament_area_mm2"`
}

// climbFlow goes through a whole search for the flow limit, and returns the run and the question that opened it.
func (v *victim) climbFlow(inputs map[string]any) (run seen, first question) {
	v.Helper()
	v.start(0)
	v.Cleanup(v.quit)
	v.orderA("flow_limit", inputs)
	run, _ = v.see("r1")
	for run.Question == nil && !run.over() {
		run, _ = v.see("r1")
	}
	first = *run.Question
	v.live("r1")
	v.endsAs(runner.Finished)
	run, _ = v.see("r1")
	return run, first
}

// TestTheFlowLimitOfAStandIn finds where the stand-in's filament has lost 2 % by its own equation, and keeps a working value.
func TestTheFlowLimitOfAStandIn(t *testing.T) {
	t.Parallel() // it mostly waits for its printer
	for limit, gauge := range map[float64]string{9: "half_mm_rule", 6.5: "digital_caliper"} {
		t.Run(gauge, func(t *testing.T) {
			t.Parallel()
			profile := demoProfile()
			profile.FlowLimit = limit // at 210 °C, which is the temperature of the material
			v := newVictim(t, profile, hurry)
			v.gauge = gauge
			run, _ := v.climbFlow(map[string]any{"gauge": gauge})
			if run.Finding.Kind != "found" {
				t.Fatalf("the finding is %s", mustJSON(v, run.Finding))
			}
			named := map[string]float64{}
			for _, n := range run.Finding.Values {
				named[n.Name] = n.Value
			}
			t.Logf("with %s it falls at %.2f mm³/s (%.2f to %.2f), true is %g; work at %.2f, %.0f mm/s", gauge, named["falls_at_mm3_per_s"],
				named["from_mm3_per_s"], named["to_mm3_per_s"], limit, named["flow_limit_mm3_per_s"], named["top_speed_mm_per_s"])
			if limit < named["from_mm3_per_s"] || limit > named["to_mm3_per_s"] {
				t.Errorf("%g lies outside of what is stated", limit)
			}
			// A line of 0.45 by 0.25 mm, plain geometry.
			if top := named["flow_limit_mm3_per_s"] / (0.45 * 0.25); math.Abs(named["top_speed_mm_per_s"]-top) > 0.01 {
				t.Errorf("the top speed is %g, want %g", named["top_speed_mm_per_s"], top)
			}
			var docket docketSeen
			v.get(plumDocket, &docket)
			i := slices.IndexFunc(docket.Rows, func(r docketRowSeen) bool { return r.Kind == "flow_limit_mm3_per_s" })
			if i < 0 || docket.Rows[i].Value == nil || *docket.Rows[i].Value != named["flow_limit_mm3_per_s"] || docket.Rows[i].From.Source != "measured" {
				t.Errorf("the docket has %+v", docket.Rows)
			}
			if e, _ := v.printer.Snapshot().RAM.Value("M92", 'E'); e != 93 {
				t.Errorf("steps/mm are %g now", e)
			}
			v.isCool()
		})
	}
}

// TestFlowsAboveTheFirmwaresLimitAreLeftOut: 4.2 mm/s of 1.75 mm filament are 10.1 mm³/s. What is faster is not fed at all,
// and nothing is slowed down to fit.
func TestFlowsAboveTheFirmwaresLimitAreLeftOut(t *testing.T) {
	if testing.Short() {
		t.Skip("a climb takes longer than -short allows")
	}
	t.Parallel() // it mostly waits for its printer
	profile := demoProfile()
	profile.MaxFeedMMPerS, profile.FlowLimit = [4]float64{300, 300, 8, 4.2}, 6
	v := newVictim(t, profile, hurry)
	run, air := v.climbFlow(map[string]any{"gauge": "caliper"})
	if shown := mustJSON(v, air.Shown); !bytes.Contains(shown, []byte(`"skipped_mm3_per_s":[12,14,16]`)) {
		t.Errorf("before it begins it shows %s", shown)
	}
	blocks := v.entries("flow_block")
	if len(blocks) < 6 || run.Finding.Kind != "found" {
		t.Fatalf("%d blocks, %s", len(blocks), mustJSON(v, run.Finding))
	}
	for _, e := range blocks {
		var b flowBlockSeen
		if err := json.Unmarshal(e.Body, &b); err != nil {
			t.Fatal(err)
		}
		if b.FlowMM3PerS > 10.1 || math.Abs(b.SpeedMMPerS*b.AreaMM2-b.FlowMM3PerS) > 1e-3 {
			t.Errorf("%g mm³/s was fed at %g mm/s", b.FlowMM3PerS, b.SpeedMMPerS)
		}
	}
	if fastest := v.fastestFeed(); fastest > 4.2+1e-9 || fastest < 2.4 {
		t.Errorf("the fastest feed that was sent is %g mm/s", fastest)
	}
}

// fastestFeed is the highest feed rate that the printer was told for filament alone, mm/s.
func (v *victim) fastestFeed() (mmPerS float64) {
	for _, o := range v.printer.Snapshot().Obeyed {
		for _, word := range strings.Fields(o.Block) {
			if word[0] == 'F' && strings.HasPrefix(o.Block, "G1 E") {
				mmPerS = max(mmPerS, number(word[1:])/60)
			}
		}
	}
	return mmPerS
}

// Where the limit lies above all that is tried, it is said to be at least that, and no row of the docket is made up.
func TestAFlowLimitBeyondWhatIsTried(t *testing.T) {
	if testing.Short() {
		t.Skip("a climb takes longer than -short allows")
	}
	t.Parallel() // it mostly waits for its printer
	profile := demoProfile()
	profile.FlowLimit = 30
	v := newVictim(t, profile, hurry)
	run, _ := v.climbFlow(map[string]any{"gauge": "caliper", "fastest_mm3_per_s": 10, "block_mm": 30})
	least, _ := value(run.RunView, "at_least_mm3_per_s")
	if run.Finding.Kind != "at_least" || least < 8 || least > 30 {
		t.Errorf("the finding is %s", mustJSON(v, run.Finding))
	}
	var log struct{ Entries []any }
	v.call(http.MethodGet, "/v1/logbook?kind=flow_limit_mm3_per_s", nil, &log)
	if len(log.Entries) > 0 {
		t.Errorf("kept is %v", log.Entries)
	}
}
