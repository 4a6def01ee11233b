package api_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"fettle/routines/docket"
	"fettle/routines/runner"
)

// The charts are asked for, and what cannot be asked names its field; the document judges the rest.
func TestDriftIsAskedFor(t *testing.T) {
	b := newBench(t)
	for query, want := range map[string]string{
		"": "200", "?setup=2": "200", "?material=m1": "200", "?tolerance_percent=0.5": "200", "?setup=1&material=m1&tolerance_percent=10": "200",
		"?setup=3": "400 setup", "?setup=0": "400 setup", "?setup=-1": "400 setup", "?setup=new": "400 setup", "?setup=1.5": "400 setup",
		"?material=m9": "400 material", "?tolerance_percent=0": "400 tolerance_percent", "?tolerance_percent=0.01": "400 tolerance_percent", "?tolerance_percent=11": "400 tolerance_percent",
		"?tolerance_percent=NaN": "400 tolerance_percent", "?tolerance_percent=1e999": "400 tolerance_percent", "?tolerance_percent=much": "400 tolerance_percent",
		"?printer=p1": "400 printer", "?setup=1&setup=2": "400 setup",
	} {
		w := b.ask("GET", "/v1/printers/p1/drift"+query, "")
		got := fmt.Sprint(w.Code)
		if w.Code == 400 {
			fault := b.problem(w, "bad_query")["errors"].([]any)[0].(map[string]any)
			got += fmt.Sprint(" ", fault["field"])
			if fault["accept"] == "" {
				t.Errorf("%s says nothing of what would be accepted", query)
			}
		}
		if got != want {
			t.Errorf("%s: %s %s, want %s", query, got, w.Body, want)
		}
	}
	b.problem(b.ask("GET", "/v1/printers/p9/drift", ""), "no_printer")
	b.runner.fail = runner.ErrNoSetup
	b.problem(b.ask("GET", "/v1/printers/p1/drift", ""), "no_setup")
}

// What was worked out is what is sent, with nothing left to say as a list without members.
func TestDriftIsSentWhole(t *testing.T) {
	b := newBench(t)
	var d docket.Drift
	w := b.ask("GET", "/v1/printers/p1/drift", "")
	if err := json.Unmarshal(w.Body.Bytes(), &d); err != nil || len(d.Checks) != 13 || d.Untimed != 1 || len(d.Splices) != 1 || d.Splices[0].Before != 8 || d.Again == nil || len(d.Notes) != 1 {
		t.Errorf("%v %s", err, w.Body)
	}
	w = b.ask("GET", "/v1/printers/p1/drift?setup=1", "")
	for _, part := range []string{`"checks":[]`, `"splices":[]`, `"signals":[]`, `"notes":[]`, `"setups":[{"version":1,"checks":0},{"version":2,"checks":13}]`} {
		if !strings.Contains(w.Body.String(), part) {
			t.Errorf("no %s in %s", part, w.Body)
		}
	}
}
