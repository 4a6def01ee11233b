package main

import (
	"encoding/json"
	"net/http"
	"testing"

	"fettle/routines/runner"
)

// A script checks the cable, holds it on its way and lets it go on, over the real door and a pseudo-terminal. Every
// exchange is held to openapi.yaml.
func TestASessionWithAPause(t *testing.T) {
	c := startDemo(t, 1)
	var v runner.RunView
	c.call(http.MethodPost, "/v1/runs", map[string]any{"printer": "window", "routine": "cable_check", "material": "plum-pla", "inputs": map[string]any{"lines": 20_000}}, &v)
	for v.Doing == nil || v.Doing.Lines < 1000 { // its record says so at each twentieth
		c.get("/v1/runs/"+v.ID+"?until=changed,ended&within=5s", &v)
	}
	if d := v.Doing; d.What != "streaming" || d.OfLines != 20_000 || d.OfBytes < d.Bytes || d.LeftS <= 0 {
		t.Errorf("it is at %+v", d)
	}
	for range 2 {
		if status := c.call(http.MethodPost, "/v1/printers/window/pause", nil, nil); status != http.StatusAccepted {
			t.Errorf("paused: %d", status)
		}
	}
	c.get("/v1/runs/"+v.ID+"?until=asking,ended&within=20s", &v)
	if v.Question == nil || v.Question.Name != "runner: go on" || v.Question.Figure != "go_on" {
		t.Fatalf("%s %s: it asks %+v", v.State, v.Cause, v.Question)
	}
	raw, _ := json.Marshal(v.Question.Shown)
	var held runner.Progress
	if err := json.Unmarshal(raw, &held); err != nil || held.Lines < 1000 || held.OfLines != 20_000 {
		t.Errorf("it shows %s", raw)
	}
	v = c.finish(v.ID, answers{"go_on": {"go_on": true}})
	if lines, _ := value(v, "lines"); v.State != runner.Finished || lines != 20_000 {
		t.Errorf("%s %s: %+v", v.State, v.Cause, v.Finding)
	}
	t.Logf("%s: %s %+v", v.Finding.Headline, v.Finding.Reason, v.Finding.Values)
	if status, body, _ := c.try(http.MethodPost, "/v1/printers/window/pause", nil); status != http.StatusConflict {
		t.Errorf("with nothing streamed: %d %s", status, body)
	}
}
