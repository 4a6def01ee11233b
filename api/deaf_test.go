package api_test

import (
	"fmt"
	"strings"
	"testing"

	"fettle/routines/runner"
)

// A printer that does not listen is shown with the state of its line and the reason, and no words of the system.
func TestWhyAPrinterDoesNotListenIsShown(t *testing.T) {
	for _, c := range []struct {
		line             runner.LineView
		says, why, fault string
	}{
		{runner.LineView{State: "halted", Why: "the printer stopped itself", Fault: "Error:Heating failed"}, "switch the printer off and on", "the printer stopped itself", "Error:Heating failed"},
		{runner.LineView{State: "out of step", Why: "the printer said nothing in time"}, "wake the line", "the printer said nothing in time", ""},
		{runner.LineView{State: "unplugged", Why: "open /home/x/secret: no"}, "plug it in", "", ""},
		{runner.LineView{State: "greeting", Why: "open; listening for its greeting"}, "wait", "open; listening for its greeting", ""},
		{runner.LineView{State: "listening"}, "Look at the state", "", ""},
	} {
		for path, body := range map[string]string{"/v1/runs": anOrder, "/v1/printers/p1/lines": `{"line":"M105"}`} {
			b := newBench(t)
			b.runner.fail, b.runner.state = fmt.Errorf("begin at /home/x/secret: %w", runner.ErrNotListening), &c.line
			w := b.ask("POST", path, body)
			p := b.problem(w, "not_listening")
			if !strings.Contains(fmt.Sprint(p["detail"]), c.says) || strings.Contains(w.Body.String(), "secret") {
				t.Errorf("%s %s: %s", path, c.line.State, w.Body)
			}
			line, shown := p["line"].(map[string]any)
			if shown != (c.line.State != "listening") || shown && (line["state"] != c.line.State || fmt.Sprint(line["why"]) != orNil(c.why) || fmt.Sprint(line["fault"]) != orNil(c.fault)) {
				t.Errorf("%s %s: %v", path, c.line.State, line)
			}
		}
	}
}

func orNil(s string) string {
	if s == "" {
		return "<nil>"
	}
	return s
}

// Offsets are counted by hand: so many bytes stand before what cannot be read.
func TestAMalformedBodyIsPointedAt(t *testing.T) {
	for body, at := range map[string]float64{`{"printer":"p1",`: 16, `{} x`: 3, "{\"a\":\"\xff\"}": 6, `{"a" 1}`: 5, `[]`: 1} {
		b := newBench(t)
		p := b.problem(b.ask("POST", "/v1/runs", body), "malformed")
		if p["offset"] != at {
			t.Errorf("%s: %v, want %g", body, p["offset"], at)
		}
	}
}

func TestTheCautionsAreListed(t *testing.T) {
	b := newBench(t)
	said := b.ask("GET", "/v1/routines", "").Body.String()
	for _, c := range runner.Cautions() {
		if !strings.Contains(said, c) {
			t.Errorf("%q is not in %s", c, said)
		}
	}
}

func TestTheWireOfARunIsServed(t *testing.T) {
	b := newBench(t)
	w := b.ask("GET", "/v1/runs/r1/wire", "")
	if want := `{"n":7,"boot":"b0","at":"2026-11-25T12:00:00Z","out":true,"text":"M105"}` + "\n"; w.Body.String() != want || w.Header().Get("Content-Type") != "application/jsonl" {
		t.Errorf("%q", w.Body)
	}
	b.problem(b.ask("GET", "/v1/runs/r2/wire", ""), "no_wire")
	b.problem(b.ask("GET", "/v1/runs/r9/wire", ""), "no_run")
}
