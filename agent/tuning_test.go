package main

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"os"
	"testing"
	"time"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/routines/piece"
	"fettle/routines/runner"
	"fettle/serialio/standin"
)

// tuned is one printer with one material, taken from fresh to a docket that is handed over.
type tuned struct {
	client
	inventedPrinter
	material routines.Material
	to       string // who has the values in the end
}

// A fresh printer is taken through feed check, travel ladder and retraction ladder to a docket that is handed over, over a
// real pseudo-terminal, by the API alone. The length that is found is held to the shortest that truly suffices, by the
// stand-in's own equations. AGENT_TUNINGS=all takes each printer of the demo with each of its materials.
func TestFromFreshToADocket(t *testing.T) {
	if testing.Short() {
		t.Skip("three pieces take longer than -short allows")
	}
	t.Parallel() // it mostly waits for its printer
	for i, printer := range demoPrinters() {
		for j, material := range inventedMaterials {
			if (i != 0 || j != 0) && os.Getenv("AGENT_TUNINGS") != "all" {
				continue
			}
			t.Run(printer.name+", "+material.Name, func(t *testing.T) {
				t.Parallel()
				u := &tuned{startPrinters(t, []inventedPrinter{printer}, hurry, patient), printer, material, printer.setup.Retracts}
				u.client.printer = printer.id
				u.tune()
			})
		}
	}
}

func (u *tuned) tune() {
	began := time.Now()
	u.run("feed_check", "change", map[string]any{"gauge": "caliper"})
	travel, _ := value(u.run("travel_ladder", "found", map[string]any{}), "travel_speed_mm_per_s")
	found := u.run("retraction_ladder", "found", map[string]any{})
	lengthMM, _ := value(found, "retraction_length_mm")
	u.handOver(lengthMM)
	truthMM, ok := u.truthMM(travel, lengthMM)
	pieces, _ := value(found, "pieces")
	u.Logf("found %.2f mm, truly %.3f mm; travel %g mm/s; 1 and %g pieces, %.2f m of filament; %.0f s", lengthMM, truthMM, travel, pieces, u.filamentM(), time.Since(began).Seconds())
	if !ok || math.Abs(lengthMM-truthMM) > 0.25 {
		u.Errorf("%g mm were found, and truly %g mm suffice (%v)", lengthMM, truthMM, ok)
	}
}

// run takes a routine from its first question to its finding.
func (u *tuned) run(routine, finding string, inputs map[string]any) runner.RunView {
	u.Helper()
	var v runner.RunView
	u.call(http.MethodPost, "/v1/runs", map[string]any{"printer": u.id, "routine": routine, "material": u.material.ID, "attended": true, "inputs": inputs}, &v)
	v = u.finish(v.ID, nil)
	if v.State != runner.Finished || v.Finding == nil || v.Finding.Kind != finding {
		u.Fatalf("%s: %s %s, finding %+v; want %s", routine, v.State, v.Cause, v.Finding, finding)
	}
	return v
}

// handOver gives the values to whoever retracts on this printer, and looks whether the docket then holds.
func (u *tuned) handOver(lengthMM float64) {
	path := "/v1/printers/" + u.id + "/dockets/" + u.material.ID
	body := map[string]any{"to": u.to}
	if u.to == "firmware" {
		body["yes"] = true
	}
	u.call(http.MethodPost, path+"/handover", body, nil)
	u.inUse(lengthMM)
}

// inUse holds the docket to the length, to whoever has it, and to all that a tuning knows being fresh.
func (u *tuned) inUse(lengthMM float64) {
	u.Helper()
	var d docketSeen
	u.get("/v1/printers/"+u.id+"/dockets/"+u.material.ID, &d)
	if d.Active != u.to {
		u.Errorf("the docket is in use by %q, want %s", d.Active, u.to)
	}
	fresh := map[string]bool{}
	for _, r := range d.Rows {
		fresh[r.Kind] = r.Fresh
		if r.Kind == "retraction_length_mm" && (r.Value == nil || *r.Value != lengthMM) {
			u.Errorf("the docket has another length: %+v", r)
		}
	}
	for _, kind := range []string{"retraction_length_mm", "travel_speed_mm_per_s", "retract_speed_mm_per_s", "restart_speed_mm_per_s", "nozzle_c", "bed_c", "fan_percent", "steps_per_mm"} {
		if !fresh[kind] {
			u.Errorf("%s is not fresh in the docket", kind)
		}
	}
}

// truthMM prints the piece of the length that was found on the same printer without its line, and asks that for the truth.
func (u *tuned) truthMM(travel, lengthMM float64) (float64, bool) {
	u.Helper()
	var log struct{ Entries []logbook.Entry }
	u.get("/v1/logbook?kind=steps_per_mm", &log)
	profile := u.profile
	profile.Material = strandOf(u.material)
	d := newDry(u, profile)
	d.line(fmt.Sprintf("M92 E%.2f", *log.Entries[0].Value))
	values := stairs(lengthMM, 0)
	s := ofStandIn(piece.Length, values)
	s.Held.TravelMMPerS, s.Held.Tube = travel, u.setup.Drive == "bowden"
	p, err := piece.Plan(s)
	if err != nil {
		u.Fatal(err)
	}
	d.took(p.Foot().Program)
	d.took(p.Band(0).Program)
	return d.Bench().TrueSufficientMM(standin.Crossing{TravelMMPerS: travel, RetractMMPerS: s.Held.RetractMMPerS})
}

// filamentM is what all pieces on record took, m.
func (u *tuned) filamentM() (sum float64) {
	u.Helper()
	var log struct{ Entries []logbook.Entry }
	u.get("/v1/logbook?kind=piece", &log)
	for _, e := range log.Entries {
		var body struct {
			FilamentM float64 `json:"filament_m"`
		}
		if err := json.Unmarshal(e.Body, &body); err != nil {
			u.Error(err)
		}
		sum += body.FilamentM
	}
	return sum
}
