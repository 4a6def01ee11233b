package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"fettle/api/held"
	"fettle/routines/runner"
	"fettle/serialio/standin"
)

// client is a script beside the agent. Every request and answer is held to openapi.yaml on its way.
type client struct {
	testing.TB
	url     string
	token   string // "" where everybody may do everything
	printer string // of the demo that it looks at; "": the first
}

// startDemo runs the whole program's demo on a free port, so many times faster than a real printer.
func startDemo(t *testing.T, speedup float64) client {
	return startPrinters(t, demoPrinters(), speedup)
}

// startStandIn is the demo with another printer in it.
func startStandIn(t *testing.T, profile standin.Profile, speedup float64) client {
	t.Helper()
	window := demoPrinters()[0]
	window.profile = profile
	return startPrinters(t, []inventedPrinter{window}, speedup)
}

// patient lets a printer keep silent for long: in a hurry on a busy machine that is no sign of anything.
func patient(s *settings) { s.Silence = time.Minute }

// startPrinters is the demo with these printers in it.
func startPrinters(t *testing.T, printers []inventedPrinter, speedup float64, change ...func(*settings)) client {
	t.Helper()
	return startIn(t, t.TempDir(), printers, speedup, change...)
}

// startIn is the same with a folder, in which there may be a logbook.
func startIn(t *testing.T, folder string, printers []inventedPrinter, speedup float64, change ...func(*settings)) client {
	t.Helper()
	s, err := readSettings()
	if err != nil {
		t.Fatal(err)
	}
	s.Listen, s.Speedup = "127.0.0.1:0", speedup
	for _, c := range change {
		c(&s)
	}
	ctx, stop := context.WithCancel(context.Background())
	var out told
	var errs told
	ended := make(chan error, 1)
	go func() { ended <- demo(ctx, s, printers, []string{folder}, &out, &errs) }() // ends with stop
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			t.Errorf("the demo ended with %v", err)
		}
		if t.Failed() {
			t.Logf("the agent said:\n%s", errs.String())
		}
	})
	return client{TB: t, url: holdTo(t, out.address(t))}
}

// holdTo puts openapi.yaml between a test and the agent.
func holdTo(t testing.TB, address string) string {
	target, err := url.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	proxy := &httputil.ReverseProxy{FlushInterval: -1, Rewrite: func(r *httputil.ProxyRequest) { r.SetURL(target) }}
	server := httptest.NewServer(held.Hold(t, proxy))
	t.Cleanup(server.Close)
	return server.URL
}

// told is what a program writes, for a test that waits for a line of it.
type told struct {
	mu   sync.Mutex
	buf  bytes.Buffer
	more chan struct{}
}

func (o *told) Write(p []byte) (int, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.more != nil {
		close(o.more)
		o.more = nil
	}
	return o.buf.Write(p)
}

func (o *told) String() string {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.buf.String()
}

var atAddress = regexp.MustCompile(`at (https?://\S+)`)

// address waits until the program says where it listens.
func (o *told) address(t testing.TB) string {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	for {
		o.mu.Lock()
		found := atAddress.FindSubmatch(o.buf.Bytes())
		if o.more == nil {
			o.more = make(chan struct{})
		}
		more := o.more
		o.mu.Unlock()
		if found != nil {
			return string(found[1])
		}
		select {
		case <-more:
		case <-ctx.Done():
			t.Fatalf("the agent does not say where it listens: %s", o.String())
		}
	}
}

// call makes one request and reads its answer into out. It returns the status.
func (c client) call(method, path string, body, out any) int {
	c.Helper()
	status, raw, err := c.try(method, path, body)
	if err != nil {
		c.Fatalf("%s %s: %v", method, path, err)
	}
	if out != nil && status < 300 {
		if err := json.Unmarshal(raw, out); err != nil {
			c.Fatalf("%s %s: %v in %s", method, path, err, raw)
		}
	}
	if status >= 300 && out != nil {
		c.Fatalf("%s %s: %d %s", method, path, status, raw)
	}
	return status
}

// try makes one request. An error means that the agent was not there.
func (c client) try(method, path string, body any) (status int, raw []byte, err error) {
	c.Helper()
	var in io.Reader
	if body != nil {
		b, err := json.Marshal(body)
		if err != nil {
			c.Fatal(err)
		}
		in = bytes.NewReader(b)
	}
	req, err := http.NewRequestWithContext(c.Context(), method, c.url+path, in)
	if err != nil {
		c.Fatal(err)
	}
	if body != nil {
		req.Header.Set("Content-Type", "application/json")
	}
	if c.token != "" {
		req.Header.Set("Authorization", "Bearer "+c.token)
	}
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		return 0, nil, err
	}
	defer resp.Body.Close()
	raw, err = io.ReadAll(resp.Body)
	return resp.StatusCode, raw, err
}

func (c client) get(path string, out any) { c.Helper(); c.call(http.MethodGet, path, nil, out) }

// begin starts a feed check.
func (c client) begin(inputs map[string]any) string {
	c.Helper()
	var v runner.RunView
	c.call(http.MethodPost, "/v1/runs", map[string]any{"printer": "window", "routine": "feed_check", "material": "plum-pla",
		"attended": true, "inputs": inputs}, &v)
	return v.ID
}

// answers is what the person beside the stand-in says, by the figure of the question.
type answers map[string]map[string]any

// person answers as somebody would who looks at the stand-in's filament and wants the value written and proved.
func (c client) person(q runner.OpenQuestion) map[string]any {
	switch q.Figure {
	case "caution":
		return map[string]any{"present": true}
	case "air":
		return map[string]any{"air": true}
	case "hands_away":
		return map[string]any{"hands_away": true}
	case "strand":
		if c.look().Popping {
			return map[string]any{"strand": "popping"}
		}
		return map[string]any{"strand": "smooth"}
	case "cannot_tell", "enough":
		return map[string]any{"another": true}
	case "differs":
		return map[string]any{"unsaved": "keep_unsaved"}
	case "finding":
		return map[string]any{"apply": "write"}
	case "verify":
		return map[string]any{"verify": true}
	case "piece":
		return map[string]any{"next": "print"}
	case "grades":
		return c.graded(q)
	case "go_on":
		return map[string]any{"go_on": true}
	}
	if answer := ofStrand(c, q, c.look); answer != nil {
		return answer
	}
	c.Fatalf("nobody knows what to say to %+v", q)
	return nil
}

func (c client) look() (l looked) {
	c.get("/v1/demo/look?gauge=caliper&printer="+c.printer, &l)
	return l
}

// graded is what a trained eye sees of the piece on the bed, for the bands that are asked for.
func (c client) graded(q runner.OpenQuestion) map[string]any {
	c.Helper()
	var l lookedAtPiece
	c.get("/v1/demo/look?gauge=eye&printer="+c.printer, &l)
	return answerTo(q, l)
}

func answerTo(q runner.OpenQuestion, l lookedAtPiece) map[string]any {
	answer := map[string]any{}
	for _, f := range q.Fields {
		if said, ok := l.Answer[f.Name]; ok {
			answer[f.Name] = said
		}
	}
	return answer
}

// finish answers every question of a run until it ends.
func (c client) finish(id string, special answers) runner.RunView {
	c.Helper()
	for {
		var v runner.RunView
		c.get("/v1/runs/"+id+"?until=asking,ended&within=60s", &v)
		if runner.Ended(v.State) {
			return v
		}
		if v.Question == nil {
			continue
		}
		answer := special[v.Question.Figure]
		if answer == nil {
			answer = c.person(*v.Question)
		}
		answer["question"] = v.Question.Number
		c.call(http.MethodPost, "/v1/runs/"+id+"/answers", answer, &v)
	}
}

// value is a number of a finding.
func value(v runner.RunView, name string) (x float64, ok bool) {
	if v.Finding == nil {
		return 0, false
	}
	for _, n := range v.Finding.Values {
		if n.Name == name {
			return n.Value, true
		}
	}
	return 0, false
}

// steps reads steps/mm from the printer itself, over the pseudo-terminal.
func (c client) steps() string {
	c.Helper()
	var said struct{ Replies []string }
	c.call(http.MethodPost, "/v1/printers/window/lines", map[string]any{"line": "M503"}, &said)
	for _, line := range said.Replies {
		if _, row, ok := strings.Cut(line, "M92 "); ok {
			return row
		}
	}
	return fmt.Sprint("no M92 in ", said.Replies)
}

func twoDecimals(x float64) string { return fmt.Sprintf("%.2f", x) }

func (c client) owed() []string {
	var p runner.PrinterView
	c.get("/v1/printers/window", &p)
	return p.Owed
}

// wire is the end of the conversation with the printer.
func (c client) wire(lines int) string {
	c.Helper()
	_, raw, err := c.try(http.MethodGet, "/v1/printers/window/wire", nil)
	if err != nil {
		return err.Error()
	}
	all := strings.Split(strings.TrimSpace(string(raw)), "\n")
	return strings.Join(all[max(0, len(all)-lines):], "\n")
}

func number(text string) float64 {
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return math.NaN()
	}
	return x
}
