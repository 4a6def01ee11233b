package api_test

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"fettle/api"
	"fettle/api/held"
	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/routines/runner"
)

// TestTheDocumentListsTheRoutes compares the route table with openapi.yaml, both ways, rights included.
func TestTheDocumentListsTheRoutes(t *testing.T) {
	b := newBench(t, func(c *api.Config) { c.Look = func(context.Context, api.Looking) (any, error) { return nil, nil } })
	doc := held.Document(t)
	served := map[string]bool{}
	for _, r := range b.server.Routes() {
		served[r.Method+" "+r.Path] = true
		item := doc.Paths.Value(r.Path)
		if item == nil || item.GetOperation(r.Method) == nil {
			t.Errorf("%s %s is not in the document", r.Method, r.Path)
		} else if right := item.GetOperation(r.Method).Extensions["x-right"]; right != string(r.Right) {
			t.Errorf("%s %s: the document says right %v, the table %s", r.Method, r.Path, right, r.Right)
		}
	}
	for path, item := range doc.Paths.Map() {
		for method := range item.Operations() {
			if !served[method+" "+path] {
				t.Errorf("%s %s is in the document and not served", method, path)
			}
		}
	}
	t.Logf("%d routes", len(served))
}

// TestObjectsAreClosed: an object without additionalProperties: false would let a field pass that nobody wrote down.
func TestObjectsAreClosed(t *testing.T) {
	open := map[string]bool{"Answer": true, "Look": true} // their fields are the question's and the demo's
	for name, s := range held.Document(t).Components.Schemas {
		closed := s.Value.AdditionalProperties.Has != nil && !*s.Value.AdditionalProperties.Has
		if s.Value.Type.Is("object") && !closed && !open[name] {
			t.Errorf("%s is open", name)
		}
	}
}

// TestEveryRouteAnswers asks once for everything there is; the document judges the answers.
func TestEveryRouteAnswers(t *testing.T) {
	b := newBench(t, func(c *api.Config) {
		c.Look = func(_ context.Context, at api.Looking) (any, error) {
			if at.Gauge != "half_mm_rule" && (at != api.Looking{Printer: "p1", Gauge: "eye", Truth: true}) {
				return nil, &routines.FieldError{Field: "gauge", Detail: "is not here", Accept: "half_mm_rule"}
			}
			return map[string]any{"leftover_mm": 23.5}, nil
		}
	})
	b.book.add(3)
	for ask, status := range map[string]int{
		"GET /v1/about": 200, "GET /v1/openapi.yaml": 200, "GET /v1/ports": 200, "GET /v1/printers": 200, "GET /v1/printers/p1": 200,
		`POST /v1/printers {"name":"p1","port":"/dev/ttyX","baud":115200}`: 201, "GET /v1/materials": 200, "GET /v1/materials/m1": 200,
		`POST /v1/materials {"id":"m2","name":"Invented","nozzle_c":210,"nozzle_min_c":190,"nozzle_max_c":230}`: 201,
		`PUT /v1/materials/m2 {"name":"Invented","nozzle_c":210,"nozzle_min_c":190,"nozzle_max_c":230}`:         200,
		`PUT /v1/materials/m2 {"name":"Invented","nozzle_c":21,"nozzle_min_c":190,"nozzle_max_c":230}`:          422,
		`PUT /v1/printers/p1/setup {"drive":"direct","filament_diameter_mm":1.75,"nozzle_bore_mm":0.4,"liner":"all_metal",` +
			`"nozzle_max_c":280,"bed_max_c":100,"feed_max_mm_per_s":5,"build_x_mm":200,"build_y_mm":200,"build_z_mm":200,"gear":{"steps_per_rev":200,"microsteps":16,"ratio":3,"effective_diameter_mm":7.3}}`: 200,
		`POST /v1/printers/p1/same-printer {"mark":"0a1b2c3d"}`: 200, `POST /v1/printers/p1/same-printer {"mark":"other"}`: 409,
		`POST /v1/printers/p1/same-printer {}`: 422, "GET /v1/ports?after=5": 200, "GET /v1/ports?after=x": 400, "GET /v1/ports?after=0&within=121s": 400,
		"GET /v1/routines": 200, "GET /v1/runs": 200, "GET /v1/runs?printer=p1": 200, "POST /v1/runs " + anOrder: 201,
		`POST /v1/runs {"printer":"p1","routine":"feed_check","take_over":"r1"}`: 201, "GET /v1/runs/r1": 200, "GET /v1/runs/r1?within=0s&until=ended": 200,
		"GET /v1/runs/r1?until=hungry": 400, "GET /v1/runs/r1?until=ended&within=121s": 400, "GET /v1/runs/r1?within=-1s": 400, "GET /v1/runs/r1?until=a&until=b": 400,
		`POST /v1/runs/r1/answers {"question":3,"leftover_mm":23.4}`: 200, "POST /v1/runs/r1/take-back": 200, "POST /v1/runs/r1/take-back {}": 200,
		"GET /v1/runs/r1/events?after=1": 200, "GET /v1/runs/r9/events": 404, "GET /v1/runs/r1/wire": 200, "GET /v1/runs/r1/wire?after=1": 400, "GET /v1/runs/r2/wire": 404, "GET /v1/runs/r9/wire": 404, "GET /v1/events": 200, "GET /v1/events?after=-1": 400, "GET /v1/events?follow=2": 400,
		`POST /v1/printers/p1/lines {"line":"M105","attended":true}`: 200, `POST /v1/printers/p1/lines {"attended":true}`: 422,
		"GET /v1/printers/p1/wire": 200, "GET /v1/printers/p1/wire?after=1&boot=b1": 200, "GET /v1/logbook": 200, "GET /v1/logbook?limit=0": 400,
		"POST /v1/printers/p1/stop": 202, "POST /v1/printers/p1/halt": 202, "POST /v1/printers/p1/pause": 202, "POST /v1/printers/p1/wake": 202,
		"GET /v1/demo/look?gauge=half_mm_rule": 200, "GET /v1/demo/look?gauge=x": 400,
		"GET /v1/demo/look?printer=p1&gauge=eye&truth=1": 200, "GET /v1/demo/look?printer=p1&gauge=eye&truth=x": 400,
	} {
		part := strings.SplitN(ask, " ", 3)
		if w := b.ask(part[0], part[1], strings.Join(part[2:], "")); w.Code != status {
			t.Errorf("%s: %d %s, want %d", ask, w.Code, w.Body, status)
		}
	}
	if string(b.runner.given) != `{"leftover_mm":23.4}` || b.runner.order.Material != "m1" && b.runner.order.TakeOver != "r1" {
		t.Errorf("handed on: answer %s, order %+v", b.runner.given, b.runner.order)
	}
}

// TestStopsTouchNoStore: with a store that fails, a stop passes as ever and asks the store nothing, key or no key.
func TestStopsTouchNoStore(t *testing.T) {
	b := newBench(t)
	b.book.fail = logbook.ErrStore
	for _, verb := range []string{"stop", "halt", "pause", "wake"} {
		for range 2 {
			if w := b.ask("POST", "/v1/printers/p1/"+verb, "", "Idempotency-Key: k", "Origin: http://localhost:8017"); w.Code != 202 {
				t.Errorf("%s: %d %s", verb, w.Code, w.Body)
			}
		}
	}
	r := httptest.NewRequest("POST", "/v1/printers/p1/stop", neverRead{t})
	r.Host, r.ContentLength = "localhost", 2
	r.Header.Set("Content-Type", "application/json")
	w := httptest.NewRecorder()
	b.server.Handler().ServeHTTP(w, r)
	if w.Code != 202 || b.runner.done.Load() != 9 || b.book.calls.Load() != 0 {
		t.Errorf("%d; %d stops, %d calls of the store", w.Code, b.runner.done.Load(), b.book.calls.Load())
	}
	b.problem(b.ask("POST", "/v1/runs", anOrder, "Idempotency-Key: k"), "store")
}

// neverRead is a body that a stop must not wait for.
type neverRead struct{ *testing.T }

func (n neverRead) Read([]byte) (int, error) {
	n.Error("a stop reads its body")
	return 0, errors.New("never")
}

func TestTheTableIsATable(t *testing.T) {
	b := newBench(t)
	w := b.ask("GET", "/v1/logbook", "", "Accept: text/csv")
	rows, err := csv.NewReader(w.Body).ReadAll()
	if err != nil || len(rows) != 2 || len(rows[0]) != len(rows[1]) || w.Header().Get("Content-Type") != "text/csv; charset=utf-8" {
		t.Fatalf("%v %v %q", rows, err, w.Header())
	}
	row := map[string]string{}
	for i, name := range rows[0] {
		row[name] = rows[1][i]
	}
	for name, want := range map[string]string{"value": "95.88", "u95": "0.4", "time": "2026-11-25T12:00:00Z", "who": `'=1+1, "x"`, "setup_version": ""} {
		if row[name] != want {
			t.Errorf("%s = %q, want %q", name, row[name], want)
		}
	}
	if w := b.ask("GET", "/v1/logbook", "", "Accept: application/json, text/csv"); !json.Valid(w.Body.Bytes()) {
		t.Error("JSON is asked for and not given")
	}
}

// TestALongPollWaits runs on false time.
func TestALongPollWaits(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		for _, c := range []struct {
			query string
			after time.Duration // the run asks then
			takes time.Duration
			state string
		}{
			{"?until=asking,ended&within=60s", 40 * time.Second, 40 * time.Second, runner.Asking},
			{"?until=asking,ended&within=60s", 80 * time.Second, 60 * time.Second, runner.Underway},
			{"?until=asking", 90 * time.Second, 60 * time.Second, runner.Underway},
			{"?until=asking&within=120s", 150 * time.Second, 120 * time.Second, runner.Underway},
			{"", time.Second, 0, runner.Underway},
		} {
			b.runner.set(runner.Underway)
			time.AfterFunc(c.after, func() { b.runner.set(runner.Asking) })
			begun := time.Now()
			w := b.ask("GET", "/v1/runs/r1"+c.query, "")
			var v runner.RunView
			if err := json.Unmarshal(w.Body.Bytes(), &v); err != nil || v.State != c.state || time.Since(begun) != c.takes {
				t.Errorf("%s: %s after %s (%v), want %s after %s", c.query, v.State, time.Since(begun), err, c.state, c.takes)
			}
			time.Sleep(200 * time.Second)
		}
	})
}
