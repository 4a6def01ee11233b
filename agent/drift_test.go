package main

import (
	"encoding/json"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/routines/runner"
)

// historyBook writes the past into a logbook, with a clock that the test sets.
type historyBook struct {
	testing.TB
	*logbook.Book
	wall    time.Time
	trusted bool
}

// history opens a life of the agent in a folder's logbook.
func history(t testing.TB, folder string, begin time.Time, trusted bool) *historyBook {
	t.Helper()
	h := &historyBook{TB: t, wall: begin, trusted: trusted}
	book, err := logbook.Open(t.Context(), filepath.Join(folder, "logbook.db"), logbook.WithClock(func() (time.Time, bool) { return h.wall, h.trusted }))
	if err != nil {
		t.Fatal(err)
	}
	h.Book = book
	return h
}

func (h *historyBook) commit(s logbook.Step) {
	h.Helper()
	if _, err := h.Commit(h.Context(), s); err != nil {
		h.Fatal(err)
	}
}

// fitted is the printer "bench" with another setup from now on.
func (h *historyBook) fitted(printer inventedPrinter) {
	h.Helper()
	h.commit(logbook.Step{Printer: &logbook.Printer{ID: printer.id, Name: printer.name, Port: "/dev/none", Baud: 115200},
		Setup: &logbook.SetupOf{Printer: printer.id, Setup: printer.setup}, Material: &inventedMaterials[0]})
}

// checked is a feed check with 400 steps/mm, ± 0.2 %, a week after the one before; what is fed of 100 mm tells the true ones.
func (h *historyBook) checked(setup int64, truth float64) {
	h.Helper()
	fed := 100 * 400 / truth
	u95 := 0.002 * fed
	body, err := json.Marshal(map[string]any{"finding": "leave", "commanded_mm": 100, "measured_with_steps_per_mm": 400, "u95_percent": 0.2, "gauge": "caliper", "method": "inlet"})
	if err != nil {
		h.Fatal(err)
	}
	h.wall = h.wall.AddDate(0, 0, 7)
	h.commit(logbook.Step{Events: []logbook.Event{{Printer: "bench", Kind: "noted"}}, Entries: []logbook.Entry{{Printer: "bench", SetupVersion: setup, Material: "plum-pla",
		Entry: routines.Entry{Kind: "feed_check", Value: &fed, U95: &u95, Unit: "mm", Body: body}}}})
}

// driftSeen is the charts as a script reads them.
type driftSeen struct {
	Setup  int64 `json:"setup_version"`
	Setups []struct{ Version, Checks int64 }
	Checks []struct {
		At         *time.Time
		Value, U95 float64
	}
	Signals []struct{ Rule, Chart string }
	Again   *time.Time
	Why     string
	PerDay  *float64 `json:"per_day"`

	Untimed, Unmeasured int
}

// A year of checks in a real logbook, read by a script: a steady printer, then another gear, then one check by a clock that
// was never set; and a real check on the other printer.
func TestDriftOverAYear(t *testing.T) {
	folder, printer := t.TempDir(), demoPrinters()[1]
	past := history(t, folder, time.Now().AddDate(-1, 0, 0), true)
	past.fitted(printer)
	for _, off := range []float64{0, 0.3, -0.2, 0.1, -0.3, 0.2, 0, 0.1} {
		past.checked(1, 400+off)
	}
	printer.setup.Gear = &routines.Gear{StepsPerRev: 200, Microsteps: 16, Ratio: 3, EffectiveDiameterMM: 7.1}
	past.fitted(printer)
	for _, off := range []float64{0.2, 0, -0.3, 0.1, 0, 0.2} {
		past.checked(2, 430+off)
	}
	if err := past.Close(); err != nil {
		t.Fatal(err)
	}
	lost := history(t, folder, time.Unix(0, 0), false)
	lost.checked(2, 390)
	if err := lost.Close(); err != nil {
		t.Fatal(err)
	}
	c := startIn(t, folder, demoPrinters(), hurry, patient)

	var d driftSeen
	c.get("/v1/printers/bench/drift", &d)
	if d.Setup != 2 || len(d.Checks) != 7 || d.Checks[0].Value != 430.2 || d.Checks[0].U95 != 0.8604 || d.Checks[6].At != nil || len(d.Signals) == 0 || d.Untimed != 1 || d.PerDay == nil {
		t.Errorf("%+v", d)
	}
	if len(d.Setups) != 2 || d.Setups[0].Checks != 8 || d.Setups[1].Checks != 7 {
		t.Errorf("%+v", d.Setups)
	}
	if d.Again == nil || !d.Again.Before(time.Now()) {
		t.Fatalf("to be checked again by %v: %s", d.Again, d.Why)
	}
	c.sayCheckAgain(*d.Again)
	var old driftSeen
	c.get("/v1/printers/bench/drift?setup=1&material=plum-pla&tolerance_percent=0.5", &old)
	if len(old.Checks) != 8 || len(old.Signals) > 0 || old.Again != nil || old.Untimed != 0 {
		t.Errorf("%+v", old)
	}
	for _, query := range []string{"?setup=3", "?material=none", "?tolerance_percent=0"} {
		if got := c.call("GET", "/v1/printers/bench/drift"+query, nil, nil); got != 400 {
			t.Errorf("%s: %d", query, got)
		}
	}
	c.aRealCheckCounts()
}

// sayCheckAgain: docket and printer say that the day has passed.
func (c client) sayCheckAgain(by time.Time) {
	c.Helper()
	var docket struct {
		Rows []struct {
			Kind    string
			AgainBy *time.Time `json:"again_by"`
			Fresh   bool
		}
		Due []struct{ Do, Text string }
	}
	c.get("/v1/printers/bench/dockets/plum-pla", &docket)
	for _, r := range docket.Rows {
		if says := r.AgainBy != nil; says != (r.Kind == "steps_per_mm") || says && (!r.AgainBy.Equal(by) || !r.Fresh) {
			c.Errorf("%+v", r)
		}
	}
	want := "check again by " + by.Format(time.DateOnly) + ": "
	if docket.Due[0].Do != "feed_check" || !strings.HasPrefix(docket.Due[0].Text, want) {
		c.Errorf("due: %+v", docket.Due)
	}
	var p runner.PrinterView
	c.get("/v1/printers/bench", &p)
	if !slices.ContainsFunc(p.Due, func(due string) bool { return strings.HasPrefix(due, "feed_check: "+want) }) {
		c.Errorf("due on the printer: %q", p.Due)
	}
}

// aRealCheckCounts: what the feed check itself records is a measurement, however this computer's clock was set.
func (c client) aRealCheckCounts() {
	c.Helper()
	if v := c.finish(c.begin(map[string]any{"gauge": "caliper"}), nil); v.State != runner.Finished {
		c.Fatalf("the feed check: %s %s", v.State, v.Cause)
	}
	var d driftSeen
	c.get("/v1/printers/window/drift", &d)
	if len(d.Checks) != 1 || d.Unmeasured != 0 || d.Again != nil {
		c.Errorf("%+v", d)
	}
	for _, check := range d.Checks { // the stand-in is made for 95.876 (invented.go)
		if off := check.Value - 95.876; off > check.U95 || -off > check.U95 {
			c.Errorf("%+v, where 95.876 are true", check)
		}
	}
}
