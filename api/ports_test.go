package api_test

import (
	"encoding/json"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"fettle/routines/logbook"
	"fettle/routines/runner"
)

// What is plugged in is told when it changes, and not before; a number of another life of the agent is told at once.
func TestPortsAreToldWhenTheyChange(t *testing.T) {
	for _, c := range []struct {
		query   string
		plugged time.Duration // when something is
		takes   time.Duration
		ports   int
	}{
		{"", time.Hour, 0, 1},
		{"?after=0", 20 * time.Second, 20 * time.Second, 2},
		{"?after=0&within=10s", 20 * time.Second, 10 * time.Second, 1},
		{"?after=0", time.Hour, time.Minute, 1},
		{"?after=7", time.Hour, 0, 1},
		{"?after=0&within=0s", time.Hour, 0, 1},
	} {
		synctest.Test(t, func(t *testing.T) {
			b := newBench(t)
			plugging := time.AfterFunc(c.plugged, b.ports.plug)
			defer plugging.Stop()
			begun := time.Now()
			var got struct {
				Changes int64
				Ports   []map[string]string
			}
			w := b.ask("GET", "/v1/ports"+c.query, "")
			if err := json.Unmarshal(w.Body.Bytes(), &got); err != nil || len(got.Ports) != c.ports || time.Since(begun) != c.takes || got.Changes != int64(c.ports-1) {
				t.Errorf("%s: %s after %v, %v", c.query, w.Body, time.Since(begun), err)
			}
		})
	}
}

// A printer is kept under the stable name of its port, whichever name it was made with.
func TestAPrinterIsMadeWithTheStableName(t *testing.T) {
	for given, kept := range map[string]string{
		"/dev/ttyX": "/dev/serial/by-path/1", "/dev/serial/by-id/x": "/dev/serial/by-path/1", "/dev/serial/by-path/1": "/dev/serial/by-path/1",
		"/dev/nowhere": "/dev/nowhere", "": "",
	} {
		b := newBench(t)
		w := b.ask("POST", "/v1/printers", `{"name":"p1","port":"`+given+`","baud":250000}`)
		if b.runner.added.Port != kept || (w.Code == 201) != (given != "") {
			t.Errorf("%q is kept as %q: %d %s", given, b.runner.added.Port, w.Code, w.Body)
		}
	}
}

func TestTheLinesOfAPortAreRaisedUnlessSaidOtherwise(t *testing.T) {
	for said, low := range map[string][2]bool{
		``: {false, false}, `,"dtr":true,"rts":true`: {false, false}, `,"dtr":false`: {true, false},
		`,"rts":false`: {false, true}, `,"dtr":false,"rts":false`: {true, true},
	} {
		b := newBench(t)
		w := b.ask("POST", "/v1/printers", `{"name":"p1","port":"/dev/ttyX","baud":115200`+said+`}`)
		if p := b.runner.added; w.Code != 201 || [2]bool{p.DTRLow, p.RTSLow} != low {
			t.Errorf("%s: %d, %+v", said, w.Code, p)
		}
	}
}

func TestRatesOfALine(t *testing.T) {
	for rate, status := range map[string]int{"115200": 201, "230400": 201, "250000": 201, "500000": 201, "1000000": 201, "2000000": 201,
		"1200": 201, "1199": 422, "2000001": 422, "-1": 422, "0": 422} {
		if w := newBench(t).ask("POST", "/v1/printers", `{"name":"p1","port":"/dev/ttyX","baud":`+rate+`}`); w.Code != status {
			t.Errorf("%s: %d %s", rate, w.Code, w.Body)
		}
	}
}

// Runs and lines are refused with both names, whatever a stranger calls itself, and with the mark that accepts it.
func TestAnotherPrinterIsNamed(t *testing.T) {
	const hostile = "<b>\"x\"</b>\u202e\x01"
	who := runner.AnotherPrinter{Mark: "0a1b2c3d", Text: "another printer answers",
		Kept: logbook.Fingerprint{Firmware: "Invented 1.0", UUID: "u-1"}, Answers: logbook.Fingerprint{Firmware: hostile}}
	for path, body := range map[string]string{"/v1/runs": anOrder, "/v1/printers/p1/lines": `{"line":"M105"}`} {
		b := newBench(t)
		b.runner.fail = &runner.AnotherPrinterError{AnotherPrinter: who}
		w := b.ask("POST", path, body)
		p := b.problem(w, "another_printer")
		shown, _ := p["another_printer"].(map[string]any)
		answers, _ := shown["answers"].(map[string]any)
		if w.Code != 409 || shown["mark"] != who.Mark || answers["firmware"] != hostile || strings.Contains(w.Body.String(), "<b>") {
			t.Errorf("%s: %d %s", path, w.Code, w.Body)
		}
	}
}
