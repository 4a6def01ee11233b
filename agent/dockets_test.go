package main

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"fettle/routines/runner"
)

// docketSeen is a docket as a script reads it.
type docketSeen struct {
	Active string
	Rows   []docketRowSeen
}

type docketRowSeen struct {
	Kind    string
	Value   *float64
	Fresh   bool
	From    struct{ Source, How string }
	Stale   []struct{ Text string }
	Earlier []struct{ Entry int64 }
}

const plumDocket = "/v1/printers/window/dockets/plum-pla"

func (c client) docketRow(kind string) string {
	c.Helper()
	var d docketSeen
	c.get(plumDocket, &d)
	for _, r := range d.Rows {
		if r.Kind == kind && r.Value != nil {
			return fmt.Sprint(*r.Value, " ", r.From.How, " fresh ", r.Fresh)
		}
	}
	return "none"
}

// retraction is what the printer itself says that it pulls back, over the pseudo-terminal.
func (c client) retraction() string {
	c.Helper()
	var said struct{ Replies []string }
	c.call(http.MethodPost, "/v1/printers/window/lines", map[string]any{"line": "M207"}, &said)
	return strings.TrimSpace(strings.TrimPrefix(strings.Join(said.Replies, " "), "echo:"))
}

// TestADocketFromValueToPrinter goes the whole way with curl's means: values typed, handed over to the firmware of the
// stand-in, made stale by a new nozzle, taken back, and read as a script would read them.
func TestADocketFromValueToPrinter(t *testing.T) {
	c := startDemo(t, 50)
	post := func(path string, body map[string]any, status int) {
		t.Helper()
		if got := c.call(http.MethodPost, path, body, nil); got != status {
			t.Errorf("%s %v: %d, want %d", path, body, got, status)
		}
	}
	type in = map[string]any
	post(plumDocket+"/handover", in{"to": "firmware", "yes": true}, 409)
	post(plumDocket+"/values", in{"kind": "retraction_length_mm", "value": 0.8}, 201)
	post(plumDocket+"/values", in{"kind": "retract_speed_mm_per_s", "value": 35}, 201)
	post(plumDocket+"/values", in{"kind": "retraction_length_mm", "value": 99}, 422)
	var done struct {
		Written runner.Written
		Lines   []string
		Docket  docketSeen
	}
	c.call(http.MethodPost, plumDocket+"/handover", in{"to": "firmware", "yes": true}, &done)
	if done.Written.Standing != "verified" || done.Docket.Active != "firmware" {
		t.Errorf("%+v", done)
	}
	if got := c.retraction(); !strings.HasPrefix(got, "M207 S0.80 F2100.00 Z0.00") {
		t.Errorf("the printer says %q", got)
	}
	post("/v1/printers/window/changes", in{"what": "new_nozzle", "note": "0.4 brass"}, 201)
	if got := c.docketRow("retraction_length_mm"); got != "0.8 typed by a person fresh false" {
		t.Error(got)
	}
	post(plumDocket+"/values", in{"kind": "retraction_length_mm", "value": 1.2}, 201)
	var d docketSeen
	c.get(plumDocket, &d)
	was := d.Rows[0].Earlier[0].Entry
	post(plumDocket+"/revert", in{"entry": was}, 201)
	if got := c.docketRow("retraction_length_mm"); got != fmt.Sprintf("0.8 reverted to entry %d by this computer fresh false", was) {
		t.Error(got)
	}
	for form, want := range map[string]string{"csv": "retraction_length_mm,0.8,mm", "table": "STALE: new nozzle", "gcode": "\nM207 S0.8 F2100 Z0\n"} {
		if _, raw, err := c.try(http.MethodGet, plumDocket+"?as="+form, nil); err != nil || !strings.Contains(string(raw), want) {
			t.Errorf("as %s: %v %s", form, err, raw)
		}
	}
	if owed := c.owed(); len(owed) > 0 {
		t.Errorf("owed: %v", owed)
	}
}
