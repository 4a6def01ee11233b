package api_test

import (
	"cmp"
	"context"
	"encoding/json"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"fettle/api"
	"fettle/api/held"
	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/routines/runner"
	"fettle/serialio/pulse"
)

// fakeRunner answers what it is told to, and counts what was done.
type fakeRunner struct {
	pulse.Pulse
	fail  error // of everything
	state *runner.LineView
	done  atomic.Int64
	order runner.Order
	given json.RawMessage
	added logbook.Printer
	line  func(context.Context) ([]string, error)

	mu  sync.Mutex
	run runner.RunView
}

func (f *fakeRunner) Changed() <-chan struct{} { return f.Wait() }

func (f *fakeRunner) view() runner.RunView {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.run.ID == "" {
		f.run = runner.RunView{ID: "r1", Printer: "p1", Routine: "feed_check", State: runner.Underway, Begun: epoch, Answers: []runner.Given{}}
	}
	return f.run
}

func (f *fakeRunner) set(state string) {
	f.view()
	f.mu.Lock()
	f.run.State = state
	f.mu.Unlock()
	f.Beat()
}

func (f *fakeRunner) Begin(_ context.Context, o runner.Order) (runner.RunView, error) {
	if f.fail != nil {
		return runner.RunView{}, f.fail
	}
	f.done.Add(1)
	f.mu.Lock()
	f.order = o
	f.mu.Unlock()
	return f.view(), nil
}

func (f *fakeRunner) View(_ context.Context, run string) (runner.RunView, error) {
	if f.fail == nil && run != "r1" {
		return runner.RunView{}, runner.ErrNoRun
	}
	return f.view(), f.fail
}

func (f *fakeRunner) Views(context.Context, string) ([]runner.RunView, error) {
	return []runner.RunView{f.view()}, f.fail
}

func (f *fakeRunner) Await(ctx context.Context, run string, until []string) (runner.RunView, error) {
	for {
		news := f.Wait()
		v, err := f.View(ctx, run)
		if err != nil || ctx.Err() != nil || slices.Contains(until, v.State) {
			return v, err
		}
		select {
		case <-ctx.Done():
		case <-news:
		}
	}
}

func (f *fakeRunner) Answer(_ context.Context, _ string, _ int64, answer json.RawMessage, _ string) (runner.RunView, error) {
	f.done.Add(1)
	f.given = answer
	return f.view(), f.fail
}

func (f *fakeRunner) TakeBack(context.Context, string, string) (runner.RunView, error) {
	f.done.Add(1)
	return f.view(), f.fail
}

func (f *fakeRunner) press(printer string) error {
	if f.fail == nil && printer != "p1" {
		return runner.ErrNoPrinter
	}
	f.done.Add(1)
	return f.fail
}
func (f *fakeRunner) Stop(printer, _ string) error  { return f.press(printer) }
func (f *fakeRunner) Halt(printer, _ string) error  { return f.press(printer) }
func (f *fakeRunner) Wake(printer, _ string) error  { return f.press(printer) }
func (f *fakeRunner) Pause(printer, _ string) error { return f.press(printer) }

func (f *fakeRunner) SamePrinter(_ context.Context, _, mark, _ string) (runner.PrinterView, error) {
	f.done.Add(1)
	if f.fail == nil && mark != "0a1b2c3d" {
		return runner.PrinterView{}, runner.ErrNotAnother
	}
	return aPrinter(), f.fail
}

func (f *fakeRunner) AddPrinter(_ context.Context, p logbook.Printer, _ string) (runner.PrinterView, error) {
	f.done.Add(1)
	f.added = p
	return aPrinter(), f.fail
}

func (f *fakeRunner) Printer(_ context.Context, id string) (runner.PrinterView, error) {
	if f.fail == nil && id != "p1" {
		return runner.PrinterView{}, runner.ErrNoPrinter
	}
	p := aPrinter()
	if f.state != nil {
		p.Line = *f.state
		return p, nil
	}
	return p, f.fail
}

func (f *fakeRunner) Printers(context.Context) ([]runner.PrinterView, error) {
	return []runner.PrinterView{aPrinter()}, f.fail
}

func (f *fakeRunner) SetSetup(_ context.Context, _ string, s routines.Setup, _ string) (routines.Setup, error) {
	s.Version++
	return s, cmp.Or(f.fail, s.Validate())
}

func (f *fakeRunner) SetMaterial(_ context.Context, m routines.Material, _ string) (routines.Material, error) {
	f.done.Add(1)
	return m, cmp.Or(f.fail, m.Validate())
}

func (f *fakeRunner) Line(ctx context.Context, _, _ string, _ bool, _ string) ([]string, error) {
	f.done.Add(1)
	if f.line != nil {
		return f.line(ctx)
	}
	return []string{"T:20.1 /0.0"}, f.fail
}

func (f *fakeRunner) Wire(printer string) (runner.Wire, error) {
	return aWire{f}, f.press(printer)
}

type aWire struct{ *fakeRunner }

func (aWire) Since(n int64) []runner.WireLine {
	lines := []runner.WireLine{{N: 1, Boot: "b1", At: epoch, Out: true, Text: "M105"}, {N: 2, Boot: "b1", At: epoch, Text: "ok T:20.1 /0.0"}}
	return lines[min(n, 2):]
}

var epoch = time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC) // does not change

func aPrinter() runner.PrinterView {
	return runner.PrinterView{ID: "p1", Name: "p1", Port: "/dev/ttyX", Baud: 115200, Owed: []string{}, Due: []string{},
		Line: runner.LineView{State: "listening", Since: epoch}, Nozzle: &runner.Reading{C: 20.1}}
}

// fakeBook keeps events and keys in memory.
type fakeBook struct {
	pulse.Pulse
	fail  error
	calls atomic.Int64

	mu     sync.Mutex
	events []logbook.Event
	keys   map[string]*kept
}

type kept struct {
	print string
	claim *logbook.Claim
}

func (f *fakeBook) StoreID() string          { return "s1" }
func (f *fakeBook) Boot() string             { return "b1" }
func (f *fakeBook) Changed() <-chan struct{} { return f.Wait() }
func (f *fakeBook) Last() int64 {
	f.mu.Lock()
	defer f.mu.Unlock()
	return int64(len(f.events))
}

func (f *fakeBook) add(n int) {
	f.mu.Lock()
	for range n {
		f.events = append(f.events, logbook.Event{Seq: int64(len(f.events) + 1), Run: "r1", Printer: "p1", Kind: "asked", Boot: "b1"})
	}
	f.mu.Unlock()
	f.Beat()
}

func (f *fakeBook) Events(_ context.Context, q logbook.Filter) ([]logbook.Event, error) {
	f.calls.Add(1)
	f.mu.Lock()
	defer f.mu.Unlock()
	rest := f.events[min(int(q.After), len(f.events)):]
	return slices.Clone(rest[:min(q.Limit, len(rest))]), f.fail
}

func (f *fakeBook) Materials(context.Context) ([]routines.Material, error) {
	return []routines.Material{aMaterial()}, f.fail
}

func (f *fakeBook) Material(_ context.Context, id string) (routines.Material, error) {
	if f.fail == nil && id != "m1" {
		return routines.Material{}, logbook.ErrNotFound
	}
	return aMaterial(), f.fail
}

func aMaterial() routines.Material {
	return routines.Material{ID: "m1", Name: "Invented", NozzleC: 210, NozzleMinC: 190, NozzleMaxC: 230, Invented: true}
}

func (f *fakeBook) Entries(context.Context, logbook.Filter) ([]logbook.Entry, error) {
	x, u := 95.88, 0.4
	return []logbook.Entry{{ID: 1, Seq: 9, Printer: "p1", Who: "=1+1, \"x\"", WallMS: epoch.UnixMilli(),
		Entry: routines.Entry{Kind: "steps_per_mm", Value: &x, U95: &u, Unit: "steps/mm", Standing: routines.Verified}}}, f.fail
}

func (f *fakeBook) WireTail(_ context.Context, run string) ([]byte, error) {
	tails := map[string][]byte{"r1": []byte(`[{"n":7,"boot":"b0","at":"2026-11-25T12:00:00Z","out":true,"text":"M105"}]`), "r2": nil}
	if tail, there := tails[run]; there || f.fail != nil {
		return tail, f.fail
	}
	return nil, logbook.ErrNotFound
}

func (f *fakeBook) Claim(_ context.Context, key, print string) (logbook.Claim, error) {
	f.calls.Add(1)
	f.mu.Lock()
	defer f.mu.Unlock()
	switch k := f.keys[key]; {
	case f.fail != nil:
		return logbook.Claim{}, f.fail
	case k == nil:
		if f.keys == nil {
			f.keys = map[string]*kept{}
		}
		f.keys[key] = &kept{print: print}
		return logbook.Claim{Fresh: true}, nil
	case k.print != print:
		return logbook.Claim{}, logbook.ErrKeyReused
	case k.claim == nil:
		return logbook.Claim{}, logbook.ErrKeyRunning
	default:
		return *k.claim, nil
	}
}

func (f *fakeBook) Settle(_ context.Context, key string, status int, kind string, body []byte) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.keys[key].claim = &logbook.Claim{Status: status, Type: kind, Body: body}
	return nil
}

func (f *fakeBook) Release(_ context.Context, key string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	delete(f.keys, key)
	return nil
}

// ports is one that is plugged in, and another when plug is called.
type ports struct {
	pulse.Pulse
	changes atomic.Int64
}

func (p *ports) plug()                    { p.changes.Add(1); p.Beat() }
func (p *ports) Changed() <-chan struct{} { return p.Wait() }

func (p *ports) List(context.Context) (api.Plugged, error) {
	all := []api.Port{{Name: "/dev/serial/by-path/1", Device: "/dev/ttyX", ByID: "/dev/serial/by-id/x", ByPath: "/dev/serial/by-path/1",
		VendorID: "1a86", ProductID: "7523", Vendor: "Invented Bridges", Product: "Bridge"}, {Name: "/dev/ttyY", Device: "/dev/ttyY", Serial: "B-3"}}
	n := p.changes.Load()
	return api.Plugged{Changes: n, Ports: all[:min(int(n)+1, len(all))]}, nil
}

// bench is an api over fakes, held to the document.
type bench struct {
	testing.TB
	runner *fakeRunner
	book   *fakeBook
	ports  *ports
	server *api.Server
	http.Handler
}

func newBench(t testing.TB, change ...func(*api.Config)) *bench {
	t.Helper()
	b := &bench{TB: t, runner: &fakeRunner{}, book: &fakeBook{}, ports: &ports{}}
	c := api.Config{Version: "0.0.1", Build: "test", Runner: b.runner, Book: b.book, Ports: b.ports, Log: slog.New(slog.DiscardHandler),
		Routines: []routines.Routine{{Name: "feed_check", Title: "Feed check", Program: "1",
			Inputs: []routines.Field{{Name: "passes", Label: "Passes", Kind: routines.Number, Min: routines.Limit(1), Max: routines.Limit(5), Default: 3}}}}}
	for _, f := range change {
		f(&c)
	}
	b.server = api.New(c)
	b.Handler = held.Hold(t, b.server.Handler())
	return b
}

// ask sends a request as a script on this computer would; header lines are "Name: value".
func (b *bench) ask(method, path, body string, header ...string) *httptest.ResponseRecorder {
	b.Helper()
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Host = "localhost:8017"
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for _, line := range header {
		name, value, _ := strings.Cut(line, ": ")
		if name == "Host" {
			r.Host = value
		} else {
			r.Header.Set(name, value)
		}
	}
	w := httptest.NewRecorder()
	b.ServeHTTP(w, r)
	return w
}

// problem reads a problem and demands its code.
func (b *bench) problem(w *httptest.ResponseRecorder, code string) map[string]any {
	b.Helper()
	var p map[string]any
	if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || p["code"] != code || w.Header().Get("Content-Type") != "application/problem+json" {
		b.Errorf("got %d %q, want problem %s (%v)", w.Code, w.Body, code, err)
	}
	return p
}
