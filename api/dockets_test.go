package api_test

import (
	"cmp"
	"context"
	"encoding/csv"
	"fmt"
	"strings"
	"testing"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/logbook"
	"fettle/routines/runner"
)

// aDocket is folded from entries as the runner folds those of the logbook.
func aDocket() docket.Docket {
	u := 0.1
	value := func(x float64) *float64 { return &x }
	at := epoch
	entries := []docket.Entry{
		{ID: 3, Material: "m1", Run: "r1", Who: "Ann", At: at, Entry: routines.Entry{Kind: docket.RetractionLength, Value: value(0.8), U95: &u, Unit: "mm"}},
		{ID: 4, Material: "m1", Run: "r2", Who: "=1+1", At: at, Entry: routines.Entry{Kind: docket.RetractionLength, Value: value(0.6), U95: &u, Unit: "mm"}},
		{ID: 5, At: at, Entry: routines.Entry{Kind: docket.KindChange, Body: []byte(`{"what":"new_nozzle"}`)}},
		{ID: 6, Material: "m1", At: at, Entry: routines.Entry{Kind: docket.KindHandover, Standing: routines.Verified,
			Body: []byte(`{"to":"firmware","values":[{"kind":"retraction_length_mm","value":0.8}]}`)}},
		{ID: 7, Material: "m2", At: at, Entry: routines.Entry{Kind: docket.KindHandover, Standing: routines.Verified, Body: []byte(`{"to":"firmware","values":[]}`)}},
		{ID: 8, Material: "m1", At: at, Entry: routines.Entry{Kind: docket.FanPercent, Value: value(40), Unit: "%", Body: []byte(`{"how":"typed"}`)}},
	}
	return docket.Of("p1", entries, routines.Setup{Version: 1, Drive: "direct", FilamentDiameterMM: 1.75, NozzleBoreMM: 0.4, Liner: "all_metal",
		NozzleMaxC: 280, BedMaxC: 100}, aMaterial())
}

func (f *fakeRunner) docketOf(printer, material string) (docket.Docket, error) {
	switch {
	case f.fail != nil:
		return docket.Docket{}, f.fail
	case printer != "p1":
		return docket.Docket{}, runner.ErrNoPrinter
	case material != "m1":
		return docket.Docket{}, runner.ErrNoMaterial
	}
	return aDocket(), nil
}

func (f *fakeRunner) Docket(_ context.Context, printer, material string) (docket.Docket, error) {
	return f.docketOf(printer, material)
}

func (f *fakeRunner) Dockets(_ context.Context, printer, _ string) ([]docket.Docket, error) {
	if printer == "p9" {
		return nil, f.fail
	}
	return []docket.Docket{aDocket()}, f.fail
}

func (f *fakeRunner) Drift(_ context.Context, printer string, q docket.DriftQuery) (docket.Drift, error) {
	switch {
	case f.fail != nil || printer != "p1":
		return docket.Drift{}, cmp.Or(f.fail, runner.ErrNoPrinter)
	case q.Material != "" && q.Material != "m1":
		return docket.Drift{}, runner.ErrNoMaterial
	}
	return docket.DriftOf(printer, feedChecks(), 2, q)
}

// feedChecks are two weeks of them, with a change between and one that nobody dated.
func feedChecks() (entries []docket.Entry) {
	fed, u95 := 97.1, 0.4
	for day := range 14 {
		e := docket.Entry{ID: int64(day + 1), Setup: 2, Material: "m1", Run: "r1", At: epoch.AddDate(0, 0, day), Undated: day == 9, Entry: routines.Entry{Kind: "feed_check", Value: &fed, U95: &u95, Unit: "mm",
			Body: []byte(`{"finding":"change","commanded_mm":100,"measured_with_steps_per_mm":93,"gauge":"mm_rule","method":"inlet"}`)}}
		if day == 8 {
			e.Entry = routines.Entry{Kind: docket.KindChange, Body: []byte(`{"what":"new_gear"}`)}
		}
		entries = append(entries, e)
	}
	return entries
}

func (f *fakeRunner) RecordChange(_ context.Context, printer string, c runner.Change, who string) (runner.Changed, error) {
	f.done.Add(1)
	change, ok := docket.ChangeNamed(c.What)
	switch {
	case !ok:
		return runner.Changed{}, &routines.FieldError{Field: "what", Detail: "is none", Accept: "new_nozzle"}
	case c.Material == "m9":
		return runner.Changed{}, fmt.Errorf("%w: %q", runner.ErrNoMaterial, c.Material)
	}
	entry := logbook.Entry{ID: 9, Seq: 9, Printer: printer, Who: who, Material: c.Material, Entry: routines.Entry{Kind: docket.KindChange}}
	return runner.Changed{Entry: entry, MakesStale: change.MakesStale(), Again: change.Again(), Compares: change.Compares}, f.fail
}

func (f *fakeRunner) SetValue(_ context.Context, printer, material string, v runner.TypedValue, _ string) (docket.Docket, error) {
	f.done.Add(1)
	d, err := f.docketOf(printer, material)
	if err == nil {
		_, err = d.CheckTyped(v.Kind, v.Value)
	}
	return d, err
}

func (f *fakeRunner) Revert(_ context.Context, printer, material string, entry int64, _ string) (docket.Docket, error) {
	f.done.Add(1)
	d, err := f.docketOf(printer, material)
	if err == nil {
		_, _, err = d.Reverting(entry)
	}
	return d, err
}

func (f *fakeRunner) HandOver(_ context.Context, printer, material string, h runner.HandOver, _ string) (runner.HandedOver, error) {
	f.done.Add(1)
	d, err := f.docketOf(printer, material)
	if err == nil && h.To == docket.Firmware && !h.Yes {
		err = &routines.FieldError{Field: "yes", Detail: "is missing", Accept: "true"}
	}
	return runner.HandedOver{Docket: d, To: h.To, Written: &runner.Written{Standing: routines.Verified}, Lines: []string{"M207 S0.6"}, Notes: []string{}}, err
}

// Each route of the dockets, answered as the document has it; what cannot be accepted names its field.
func TestDocketsAreAskedFor(t *testing.T) {
	b := newBench(t)
	const of = "/v1/printers/p1/dockets/m1"
	for ask, want := range map[string]string{
		"GET /v1/dockets": "200", "GET /v1/dockets?printer=p1&material=m1": "200", "GET /v1/dockets?printer=p9": "200", "GET /v1/dockets?x=1": "400",
		"GET " + of: "200", "GET " + of + "?as=json": "200", "GET " + of + "?as=csv": "200", "GET " + of + "?as=table": "200", "GET " + of + "?as=gcode": "200",
		"GET " + of + "?as=xml": "400", "GET /v1/printers/p9/dockets/m1": "404", "GET /v1/printers/p1/dockets/m9": "404",
		`POST /v1/printers/p1/changes {"what":"new_nozzle"}`:                             "201",
		`POST /v1/printers/p1/changes {"what":"new_spool","material":"m1","note":"red"}`: "201",
		`POST /v1/printers/p1/changes {"what":"firmware"}`:                               "201",
		`POST /v1/printers/p1/changes {"what":"paint"}`:                                  "422 /what",
		`POST /v1/printers/p1/changes {"what":"new_spool","material":"m9"}`:              "422 /material",
		`POST /v1/printers/p1/changes {"what":"fan","colour":"red"}`:                     "422 /colour",
		"POST " + of + `/values {"kind":"nozzle_c","value":205}`:                         "201",
		"POST " + of + `/values {"kind":"nozzle_c","value":300}`:                         "422 /value",
		"POST " + of + `/values {"kind":"steps_per_mm","value":93}`:                      "422 /kind",
		"POST " + of + `/values {"kind":"fan_percent"}`:                                  "422 /value",
		"POST " + of + `/values {"kind":"fan_percent","value":"full"}`:                   "422 /value",
		"POST " + of + `/revert {"entry":3}`:                                             "201",
		"POST " + of + `/revert {"entry":5}`:                                             "422 /entry",
		"POST " + of + `/revert {}`:                                                      "422 /entry",
		"POST " + of + `/handover {"to":"firmware","yes":true}`:                          "201",
		"POST " + of + `/handover {"to":"slicing_program"}`:                              "201",
		"POST " + of + `/handover {"to":"firmware"}`:                                     "422 /yes",
		"POST " + of + `/handover {}`:                                                    "422 /to",
	} {
		part := strings.SplitN(ask, " ", 3)
		w := b.ask(part[0], part[1], strings.Join(part[2:], ""))
		got := fmt.Sprint(w.Code)
		if w.Code == 422 {
			p := b.problem(w, "invalid")
			got += " " + fmt.Sprint(p["errors"].([]any)[0].(map[string]any)["pointer"])
		}
		if got != want {
			t.Errorf("%s: %s %s, want %s", ask, got, w.Body, want)
		}
	}
}

// What is handed on as a file is one, and a name that a spreadsheet would take for a formula is none in it.
func TestADocketIsAFile(t *testing.T) {
	b := newBench(t)
	w := b.ask("GET", "/v1/printers/p1/dockets/m1?as=csv", "")
	rows, err := csv.NewReader(w.Body).ReadAll()
	if err != nil || len(rows) != len(aDocket().Rows)+1 || rows[1][14] != "'=1+1" || !strings.Contains(w.Header().Get("Content-Disposition"), "docket.csv") {
		t.Errorf("%v %v %v", err, rows, w.Header())
	}
	w = b.ask("GET", "/v1/printers/p1/dockets/m1?as=gcode", "")
	if got := w.Header().Get("Content-Type"); got != "text/x-gcode; charset=us-ascii" || !strings.Contains(w.Body.String(), "\nM207 S0.6 Z0\n") {
		t.Errorf("%s %s", got, w.Body)
	}
}

// A hand-over that is repeated with its key is done once.
func TestAHandOverIsDoneOnce(t *testing.T) {
	b := newBench(t)
	for range 3 {
		b.ask("POST", "/v1/printers/p1/dockets/m1/handover", `{"to":"firmware","yes":true}`, "Idempotency-Key: k7")
	}
	if n := b.runner.done.Load(); n != 1 {
		t.Errorf("done %d times", n)
	}
}
