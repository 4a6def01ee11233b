package api_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"net/http"
	"strings"
	"testing"

	"fettle/api"
	"fettle/api/guard"
	"fettle/api/live"
	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/routines/runner"
)

// sentinels are all errors that the runner, the logbook and the sockets export. TestEveryErrorHasARow compares the list
// with the sources, so that none can be forgotten.
func sentinels() map[string]error {
	return map[string]error{
		"runner.ErrNoPrinter": runner.ErrNoPrinter, "runner.ErrNoRun": runner.ErrNoRun, "runner.ErrNoRoutine": runner.ErrNoRoutine,
		"runner.ErrNoMaterial": runner.ErrNoMaterial, "runner.ErrNoSetup": runner.ErrNoSetup, "runner.ErrPrinterExists": runner.ErrPrinterExists,
		"runner.ErrOccupied": runner.ErrOccupied, "runner.ErrNotListening": runner.ErrNotListening, "runner.ErrNotAsking": runner.ErrNotAsking,
		"runner.ErrSomeoneElse": runner.ErrSomeoneElse, "runner.ErrNothingToTakeBack": runner.ErrNothingToTakeBack,
		"runner.ErrNothingWhole": runner.ErrNothingWhole, "runner.ErrNothingStreamed": runner.ErrNothingStreamed, "runner.ErrNotRunning": runner.ErrNotRunning,
		"runner.ErrNothingToHandOver": runner.ErrNothingToHandOver,
		"runner.ErrAnotherPrinter":    runner.ErrAnotherPrinter, "runner.ErrNotAnother": runner.ErrNotAnother,
		"logbook.ErrStore": logbook.ErrStore, "logbook.ErrNewerSchema": logbook.ErrNewerSchema,
		"logbook.ErrNotAStore": logbook.ErrNotAStore, "logbook.ErrNotFound": logbook.ErrNotFound, "logbook.ErrRunOpen": logbook.ErrRunOpen,
		"logbook.ErrAnswered": logbook.ErrAnswered, "logbook.ErrKeyReused": logbook.ErrKeyReused, "logbook.ErrKeyRunning": logbook.ErrKeyRunning,
		"logbook.ErrKeyUnknown": logbook.ErrKeyUnknown, "live.ErrNotAsked": live.ErrNotAsked, "live.ErrHandshake": live.ErrHandshake,
		"live.ErrFull": live.ErrFull, "live.ErrClosing": live.ErrClosing,
		"guard.ErrForeignHost": guard.ErrForeignHost, "guard.ErrForeignOrigin": guard.ErrForeignOrigin, "guard.ErrNotJSON": guard.ErrNotJSON,
		"guard.ErrTokenInAddress": guard.ErrTokenInAddress, "guard.ErrTooMany": guard.ErrTooMany, "guard.ErrUnpaired": guard.ErrUnpaired,
		"guard.ErrNotAllowed": guard.ErrNotAllowed, "guard.ErrShut": guard.ErrShut, "guard.ErrRevoked": guard.ErrRevoked, "guard.ErrNoKey": guard.ErrNoKey,
		"logbook.ErrRefused": nil, // a mistake of ours: shown as one
		"guard.ErrName":      nil, // shown as a field that cannot be accepted
		"guard.ErrCode":      nil,
	}
}

func TestEveryErrorHasARow(t *testing.T) {
	listed := sentinels()
	for room, dir := range map[string]string{"runner": "../routines/runner", "logbook": "../routines/logbook", "live": "live", "guard": "guard"} {
		//lint:ignore SA1019 names alone are wanted
		packages, err := parser.ParseDir(token.NewFileSet(), dir, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range packages[room].Files {
			ast.Inspect(file, func(n ast.Node) bool {
				spec, ok := n.(*ast.ValueSpec)
				for i := 0; ok && i < len(spec.Names); i++ {
					name := spec.Names[i].Name
					if _, known := listed[room+"."+name]; strings.HasPrefix(name, "Err") && !known {
						t.Errorf("%s.%s is in no row of the table of errors", room, name)
					}
				}
				_, inside := n.(*ast.FuncDecl)
				return !inside
			})
		}
	}
	for name, sentinel := range listed {
		if sentinel == nil {
			continue
		}
		b := newBench(t)
		b.Handler = b.server.Handler() // a stop declares few of these statuses; the row is at stake, not the document
		b.runner.fail = fmt.Errorf("read /var/lib/secret: %w", sentinel)
		w := b.ask("POST", "/v1/printers/p1/stop", "")
		p := map[string]any{}
		if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || p["code"] == "internal" {
			t.Errorf("%s: %d %s", name, w.Code, w.Body)
		}
		if strings.Contains(w.Body.String(), "secret") {
			t.Errorf("%s leaks what was being done: %s", name, w.Body)
		}
	}
}

// TestProblemsExplainThemselves asks at the address that each type names.
func TestProblemsExplainThemselves(t *testing.T) {
	b := newBench(t)
	for _, ask := range []struct{ method, path, body, code string }{
		{"GET", "/v1/nothing", "", "not_found"}, {"GET", "/elsewhere", "", "not_found"}, {"DELETE", "/v1/runs", "", "method_not_allowed"},
		{"POST", "/v1/runs", "{", "malformed"}, {"POST", "/v1/runs", "{} x", "malformed"}, {"POST", "/v1/runs", "", "malformed"},
		{"POST", "/v1/runs", `{"printer":"` + strings.Repeat("x", 64<<10) + `"}`, "too_large"},
		{"POST", "/v1/runs", `{}`, "invalid"}, {"GET", "/v1/runs?x=1", "", "bad_query"}, {"GET", "/v1/runs/r9", "", "no_run"},
		{"GET", "/v1/printers/p9", "", "no_printer"}, {"POST", "/v1/printers/p9/stop", "", "no_printer"}, {"GET", "/v1/live", "", "upgrade_required"},
		{"GET", "/v1/materials/m9", "", "no_material"}, {"POST", "/v1/materials", `{"id":"m1","name":"x","nozzle_c":1,"nozzle_min_c":1,"nozzle_max_c":1}`, "material_exists"},
		{"GET", "/v1/demo/look", "", "not_found"}, {"GET", "/problems/none", "", "not_found"}, {"GET", "/v1/printers/%2e%2e/wire", "", "no_printer"},
	} {
		w := b.ask(ask.method, ask.path, ask.body)
		p := b.problem(w, ask.code)
		if p["status"] != float64(w.Code) || p["title"] == "" || p["detail"] == "" {
			t.Errorf("%s %s: %v", ask.method, ask.path, p)
		}
		kind := b.ask("GET", p["type"].(string), "")
		row := map[string]any{}
		if err := json.Unmarshal(kind.Body.Bytes(), &row); err != nil || row["title"] != p["title"] || row["detail"] != p["detail"] {
			t.Errorf("%v explains itself as %d %s", p["type"], kind.Code, kind.Body)
		}
	}
	if allow := b.ask("DELETE", "/v1/runs", "").Header().Get("Allow"); !strings.Contains(allow, "GET") || !strings.Contains(allow, "POST") {
		t.Errorf("Allow: %q", allow)
	}
}

func TestUnknownErrorsAndPanicsTellNothing(t *testing.T) {
	b := newBench(t)
	b.runner.fail = errors.New("open /home/x/secret: no")
	b.problem(b.ask("GET", "/v1/printers", ""), "internal")
	b = newBench(t, func(c *api.Config) { c.Ports = nil })
	w := b.ask("GET", "/v1/ports", "") // calls a method of nil
	b.problem(w, "internal")
	if w.Code != http.StatusInternalServerError || strings.Contains(w.Body.String(), "nil") {
		t.Errorf("a panic is told: %s", w.Body)
	}
}

// TestFieldsAreNamed follows the example of RFC 9457 section 3: status 422 with a JSON pointer for each field.
func TestFieldsAreNamed(t *testing.T) {
	const order = `"printer":"p1","routine":"feed_check","material":"m1"`
	const setup = `"drive":"direct","filament_diameter_mm":1.75,"nozzle_bore_mm":0.4,"liner":"all_metal","nozzle_max_c":280,"feed_max_mm_per_s":5,"build_x_mm":200,"build_y_mm":200,"build_z_mm":200`
	for _, c := range []struct {
		method, path, body string
		fail               error
		at                 string
	}{
		{"POST", "/v1/runs", `{}`, nil, "/printer"},
		{"POST", "/v1/runs", `{"printer":1}`, nil, "/printer"},
		{"POST", "/v1/runs", `{` + order + `,"atended":true}`, nil, "/atended"},
		{"POST", "/v1/runs", `{` + order + `,"Printer":"p2"}`, nil, "/Printer"},
		{"POST", "/v1/runs", `{` + order + `,"printer":"p2"}`, nil, "/printer"},
		{"POST", "/v1/runs", `{` + order + `,"inputs":{"a":1,"a":2}}`, nil, "/inputs/a"},
		{"POST", "/v1/runs", `{` + order + `}`, &routines.FieldError{Field: "passes", Detail: "is 9", Accept: "1 to 5"}, "/inputs/passes"},
		{"POST", "/v1/runs", `{` + order + `}`, &routines.FieldError{Field: "attended", Detail: "is missing", Accept: "true"}, "/attended"},
		{"POST", "/v1/runs", `{` + order + `}`, runner.ErrNoMaterial, "/material"},
		{"POST", "/v1/runs", `{` + order + `}`, fmt.Errorf("begin: %w", runner.ErrNoPrinter), "/printer"},
		{"POST", "/v1/runs/r1/answers", `{"leftover_mm":1}`, nil, "/question"},
		{"POST", "/v1/runs/r1/answers", `{"question":"3"}`, nil, "/question"},
		{"POST", "/v1/runs/r1/answers", `{"question":3,"leftover_mm":-1}`, &routines.FieldError{Field: "leftover_mm", Detail: "is -1", Accept: "0 to 120 mm"}, "/leftover_mm"},
		{"PUT", "/v1/printers/p1/setup", `{` + setup + `,"version":1,"tube":{"version":2}}`, nil, "/tube/version"},
		{"PUT", "/v1/printers/p1/setup", `{` + setup + `,"before":["M500"]}`, nil, "/before/0"},
		{"PUT", "/v1/printers/p1/setup", `{` + setup + `,"before":["G28","M500"]}`, nil, "/before/1"},
		{"PUT", "/v1/printers/p1/setup", `{` + setup + `,"gear":{"steps_per_rev":200,"microsteps":0,"ratio":-1,"effective_diameter_mm":11}}`, nil, "/gear/microsteps"},
		{"PUT", "/v1/printers/p1/setup", `{` + setup + `,"tube":{"bore_mm":"2"}}`, nil, "/tube/bore_mm"},
		{"PUT", "/v1/printers/p1/setup", `{` + setup + `}`, &routines.FieldError{Field: "tube.bore_mm", Detail: "is 9", Accept: "2 to 6 mm"}, "/tube/bore_mm"},
		{"PUT", "/v1/materials/m1", `{"id":"m2","name":"x","nozzle_c":1,"nozzle_min_c":1,"nozzle_max_c":1}`, nil, "/id"},
	} {
		b := newBench(t)
		b.runner.fail = c.fail
		w := b.ask(c.method, c.path, c.body)
		p := b.problem(w, "invalid")
		faults, _ := p["errors"].([]any)
		if len(faults) == 0 || w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s %s: %d %v", c.path, c.body, w.Code, p)
			continue
		}
		first := faults[0].(map[string]any)
		if first["pointer"] != c.at || first["field"] != nil || first["accept"] == "" {
			t.Errorf("%s %s: %v, want %s", c.path, c.body, first, c.at)
		}
	}
}

func TestALoserIsToldTheWinner(t *testing.T) {
	b := newBench(t)
	b.runner.fail = fmt.Errorf("store: %w", &runner.AnsweredError{Winner: logbook.Event{Question: 3, Who: "Ana's phone", Body: json.RawMessage(`{"leftover_mm":23.4}`)}})
	w := b.ask("POST", "/v1/runs/r1/answers", `{"question":3,"leftover_mm":20}`)
	p := b.problem(w, "answered")
	winner, _ := p["winner"].(map[string]any)
	if w.Code != http.StatusConflict || winner["who"] != "Ana's phone" || fmt.Sprint(winner["answer"]) != "map[leftover_mm:23.4]" {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}
