package main

import (
	"context"
	_ "embed"
	"encoding/json"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// playedScript stands between the page and the agent.
//
//go:embed testdata/played.js
var playedScript string

// thing is an object as the agent sends it.
type thing = map[string]any

// playedState is a state that the page is told of.
type playedState struct {
	name, hash, head string
	whole            bool
	printer          thing // over a printer that listens
	run              thing // over a cable check; nil: none
	events           []thing
	answers          thing // of the agent, by path

	then func(l *look) // what a person touches from there
}

// played shows the states that a stand-in cannot be brought into on time, or at all.
func played(states []playedState) func(l *look) {
	return func(l *look) {
		for _, s := range states {
			l.play(s)
		}
	}
}

func (l *look) play(s playedState) {
	l.Helper()
	script := "window.played = " + s.script() + ";\n" + playedScript
	l.phone.close() // a page that nobody looks at still draws itself each second
	l.phone, l.excused = l.site.stranger(l), ""
	l.phone.do("play "+s.name, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
		return err
	}))
	l.phone.visitPage("/" + s.hash)
	l.at("played "+s.name, headed(s.head), s.whole)
	if s.then != nil {
		s.then(l)
	}
}

// script is what is told, as the page's own script has it.
func (s playedState) script() string {
	now := time.Now()
	printer := over(thing{"id": "window", "name": "Window", "port": "stand-in", "baud": 115200, "owed": []string{}, "due": []string{}, "dtr": true, "rts": true,
		"line":   thing{"state": "listening", "since": now.Format(time.RFC3339), "occupied": false},
		"nozzle": thing{"c": 24.1, "target_c": 0, "age_s": 1, "outdated": false},
		"setup":  thing{"version": 1, "drive": "direct", "switch": "back, left", "liner": "all_metal", "nozzle_max_c": 280}}, s.printer)
	runs := []thing{}
	if s.run != nil {
		runs = append(runs, over(thing{"id": "r1", "printer": "window", "routine": "cable_check", "material": "plum-pla", "state": "underway", "answers": []thing{},
			"inputs": thing{"lines": 5000}, "begun": now.Format(time.RFC3339), "last_seq": 9}, s.run))
		if s.run["state"] != nil && s.run["state"] != "asking" {
			delete(printer, "run")
		} else {
			printer["run"] = "r1"
		}
	}
	events := append([]thing{{"seq": 1, "run": "r1", "kind": "run begun", "boot": "b", "mono_ms": 1, "wall_ms": now.UnixMilli(), "wall_trusted": true}}, s.events...)
	said := []thing{{"type": "snapshot", "store_id": "PLAYED", "last_seq": 9, "printers": []thing{printer}, "runs": runs}}
	var lines string
	for i, e := range events {
		e = over(thing{"seq": i + 1, "run": "r1", "boot": "b", "mono_ms": 1, "wall_ms": now.UnixMilli(), "wall_trusted": true}, e)
		said = append(said, thing{"type": "event", "event": e})
		line, _ := json.Marshal(e) // it is made of texts and numbers
		lines += string(line) + "\n"
	}
	answers := over(thing{
		"/v1/about":          thing{"program": "fettle", "version": "0", "store_id": "PLAYED", "paired": true},
		"/v1/runs/r1/events": lines, "/v1/logbook": thing{"entries": []thing{}},
		"/v1/routines":  thing{"routines": []thing{{"name": "cable_check", "title": "Cable check", "program": "cable_check 1", "fields": []thing{{"name": "lines", "label": "Lines", "kind": "number", "min": 500, "max": 200000, "default": 5000}}}}},
		"/v1/materials": thing{"materials": []thing{{"id": "plum-pla", "name": "Plum PLA (invented)", "nozzle_c": 210, "nozzle_min_c": 190, "nozzle_max_c": 230, "colour_hex": "#7C5AA6"}}},
	}, s.answers)
	script, _ := json.Marshal(thing{"said": said, "answers": answers}) // as above
	return string(script)
}

// over lays one object over another.
func over(a, b thing) thing {
	for k, v := range b {
		a[k] = v
	}
	return a
}
