package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"fettle/routines/runner"
)

// situation is what a printer is busy with when somebody presses Stop.
type situation struct {
	name  string
	line  string // that is under way; empty: none
	spoil bool   // it arrives damaged, each time
	lose  bool   // it is never answered
	nag   int    // and it is asked for again and again, up to so often before the press and then until the heaters are told
	full  bool   // nothing can be stored any more
	ahead int    // how many lines of another kind may have been on their way already
}

var situations = []situation{
	{name: "at rest", ahead: 1}, // a question of the agent's own
	{name: "resend storm", line: "M119", spoil: true, nag: 40},
	{name: "blocking command", line: "G28", lose: true},
	{name: "full disk, blocking command", line: "G28", lose: true, full: true},
}

// Stop is pressed while 200 live streams are open, over HTTP, on an agent in a process of its own; what arrives is read at
// the far end of each printer's pseudo-terminal. The heaters-off burst is the next thing that is written, whatever goes
// on, and nothing but it follows until the printer has confirmed it. The times are printed and not judged; the goal is
// 50 ms. 200 presses, 40 with -short, AGENT_PRESSES=10000 for as many, which takes a quarter of an hour.
func TestStopIsTheNextThingWritten(t *testing.T) {
	all := 200
	if testing.Short() {
		all = 40
	}
	if wish := os.Getenv("AGENT_PRESSES"); wish != "" {
		var err error
		if all, err = strconv.Atoi(wish); err != nil {
			t.Fatal(err)
		}
	}
	for _, s := range situations {
		t.Run(s.name, func(t *testing.T) { s.pressed(t, (all+len(situations)-1)/len(situations)) })
	}
}

// pressed presses so often, on all printers at a time, and prints how long it took.
func (s situation) pressed(t *testing.T, times int) {
	folder := t.TempDir()
	if s.full {
		folder = smallDisk(t, 8<<20)
	}
	f := newFloor(t, folder)
	f.start(0)
	defer f.quit()
	pressers := make([]*presser, floorPrinters)
	for n := range pressers {
		pressers[n] = newPresser(f, n)
	}
	for n := floorPrinters; n < liveStreams; n++ {
		path := "/v1/live"
		if n%4 == 0 {
			path = "/v1/printers/" + printerOf(n%floorPrinters) + "/wire"
		}
		f.watch(net.IPv4(127, 0, 3, byte(1+n%8)), path, func([]byte) {})
	}
	for _, p := range pressers {
		p.ready()
	}
	if s.full {
		f.fill()
	}
	var crowd sync.WaitGroup
	for n, p := range pressers {
		crowd.Go(func() { // ends with its presses
			for k := n; k < times; k += floorPrinters {
				if !p.round(s) {
					return
				}
			}
		})
	}
	crowd.Wait()
	if s.full && !strings.Contains(f.errs.String(), "not kept in the logbook") {
		t.Error("the presses were stored: the disk was not full")
	}
	report(t, pressers)
}

// report prints what the presses took, and beside it the least that they could take on this computer under its load.
func report(t *testing.T, pressers []*presser) {
	var took, least []time.Duration
	ahead := 0
	for _, p := range pressers {
		took, least, ahead = append(took, p.took...), append(least, p.least...), ahead+p.ahead
	}
	if len(took) == 0 {
		t.Fatal("nobody pressed")
	}
	t.Logf("%d presses, %d live streams: heaters off at the far end after %s; the least, right before: %s; behind %d of them a line that was on its way",
		len(took), liveStreams, spread(took), spread(least), ahead)
}

func spread(took []time.Duration) string {
	slices.Sort(took)
	at := func(share float64) float64 { return took[int(share*float64(len(took)-1))].Seconds() * 1000 }
	return fmt.Sprintf("median %.2f, p99 %.2f, worst %.2f ms", at(0.5), at(0.99), at(1))
}

// presser is somebody at one printer, who presses again as soon as the last press is confirmed: each press meets a line
// that is not being stopped, and has a burst of its own.
type presser struct {
	*floor
	far     *farEnd
	sight   sight
	stops   *http.Client
	lines   *http.Client
	printer string
	random  *rand.Rand
	resent  []time.Time // when the line was made to send something again
	took    []time.Duration
	bare    crossing
	least   []time.Duration // the same, as measured by compare
	ahead   int
}

func newPresser(f *floor, n int) *presser {
	ip := net.IPv4(127, 0, 2, byte(1+n))
	p := &presser{floor: f, far: f.fars[n], bare: newCrossing(f.T), stops: f.from(ip), lines: f.from(net.IPv4(127, 0, 4, byte(1+n))), printer: printerOf(n),
		random: rand.New(rand.NewPCG(7, uint64(n))), sight: sight{printerOf(n), make(chan runner.PrinterView, 1)}}
	f.watch(ip, "/v1/live", p.sight.told)
	return p
}

// givesUp is how long anything may take before the test gives up. It is no judgement of a time.
const givesUp = time.Minute

// ready waits until the printer listens, and opens the connection that a page keeps open.
func (p *presser) ready() {
	p.until(func(ctx context.Context) error {
		if _, err := p.ask(ctx, p.stops, http.MethodGet, "", ""); err != nil {
			return err
		}
		return p.sight.await(ctx, func(v runner.PrinterView) bool { return v.Line.State == "listening" })
	})
}

func (p *presser) until(f func(context.Context) error) bool {
	ctx, cancel := context.WithTimeout(p.Context(), givesUp)
	defer cancel()
	if err := f(ctx); err != nil {
		p.Errorf("%s: %v", p.printer, err)
		return false
	}
	return true
}

// round brings the situation about, presses, waits until that is confirmed, and judges what arrived.
func (p *presser) round(s situation) bool {
	<-p.turn.C
	return p.until(func(ctx context.Context) error {
		typed := make(chan int, 1)
		typed <- 0
		if s.line != "" {
			typed = make(chan int, 1)
			if err := p.begin(ctx, s, typed); err != nil {
				return fmt.Errorf("before the press: %w", err)
			}
		}
		if err := p.compare(ctx); err != nil {
			return err
		}
		place, pressed := p.far.hold(), time.Now()
		if status, err := p.post(ctx, p.stops, "stop", ""); err != nil || status != http.StatusAccepted {
			return fmt.Errorf("stop: %d, %w", status, err)
		}
		off, err := p.far.await(ctx, place, nozzleOff, 1)
		if err != nil {
			return err
		}
		p.took = append(p.took, off.at.Sub(pressed))
		if status := <-typed; status/100 == 2 {
			return fmt.Errorf("the line under way was answered with %d", status)
		}
		err = p.sight.await(ctx, func(v runner.PrinterView) bool {
			return v.Line.State == "listening" && v.Stop != nil && v.Stop.Confirmed && v.Line.Since.After(pressed)
		})
		return errors.Join(err, p.judge(place, s))
	})
}

// compare measures the least that a press could take: a look at the printer over the same connection, and a line over a
// bare pseudo-terminal. The kernel carries it from one end to the other with a worker that waits its turn, too.
func (p *presser) compare(ctx context.Context) error {
	begun := time.Now()
	if _, err := p.ask(ctx, p.stops, http.MethodGet, "", ""); err != nil {
		return err
	}
	looked := time.Since(begun)
	crossed, err := p.bare.cross(ctx)
	if err != nil {
		return fmt.Errorf("cross a bare pseudo-terminal: %w", err)
	}
	p.least = append(p.least, looked+crossed)
	return nil
}

// begin types the line that is under way, and returns when the situation is there.
func (p *presser) begin(ctx context.Context, s situation, typed chan<- int) error {
	copies := 1
	if s.spoil {
		copies = 1 + p.random.IntN(2)
		if err := p.spare(ctx); err != nil {
			return err
		}
	}
	place := p.far.disturb(map[bool]string{true: s.line}[s.spoil], map[bool]string{true: s.line}[s.lose])
	go func() { // ends when the line is answered
		status, err := p.post(ctx, p.lines, "lines", fmt.Sprintf(`{"line":%q,"attended":true}`, s.line))
		if err != nil {
			status = http.StatusInternalServerError
		}
		typed <- status
	}()
	last, err := p.far.await(ctx, place, s.line, copies)
	if err != nil || s.nag == 0 {
		return err
	}
	select {
	case err = <-p.far.nag(last.number, 1+p.random.IntN(s.nag)):
		return err
	case <-ctx.Done():
		return ctx.Err()
	}
}

// spare waits while as much was sent again in the last minute as a line may, or it would be given up as too noisy.
func (p *presser) spare(ctx context.Context) error {
	const perMinute, each = 64, 2
	p.resent = append(p.resent, time.Now())
	if len(p.resent) < perMinute/each {
		return nil
	}
	free := time.NewTimer(time.Until(p.resent[len(p.resent)-perMinute/each].Add(time.Minute)))
	defer free.Stop()
	select {
	case <-free.C:
	case <-ctx.Done():
		return ctx.Err()
	}
	p.resent[len(p.resent)-1] = time.Now()
	return nil
}

// judge holds what arrived behind a press to the order: at most what was on its way, the burst, and nothing else but
// what a burst and its confirmation are made of, until that has come.
func (p *presser) judge(place int, s situation) error {
	heard, _ := p.far.since(place)
	ahead := slices.IndexFunc(heard, func(h frame) bool { return h.sets() || h.block == nozzleOff })
	again := func(h frame) bool { return s.spoil && h.block == s.line }
	if ahead < 0 || len(slices.DeleteFunc(slices.Clone(heard[:ahead]), again)) > s.ahead {
		return fmt.Errorf("%d lines were written before the burst: %v", ahead, heard)
	}
	p.ahead += ahead
	var set, before frame // the last M110, and the line before this one
	marked := false       // a resync is under way: M110, and behind it M105 out of turn
	for i, h := range heard[ahead:] {
		switch {
		case i == 1 && h.block != nozzleOff:
			return fmt.Errorf("the burst did not come whole: %v", heard)
		case h.sets():
			set, marked = h, false
		case h.block == nozzleOff || h.block == "M140 S0":
		case h.block != "M105":
			return fmt.Errorf("%v was written behind the press: %v", h, heard)
		case before.sets():
			marked = true
		case marked && h.follows(set): // the confirmation
			return nil
		}
		before = h
	}
	return fmt.Errorf("no confirmation was asked for: %v", heard)
}

func (p *presser) post(ctx context.Context, client *http.Client, what, body string) (status int, err error) {
	return p.ask(ctx, client, http.MethodPost, "/"+what, body)
}

// ask makes one request of this printer.
func (p *presser) ask(ctx context.Context, client *http.Client, method, what, body string) (status int, err error) {
	r, err := http.NewRequestWithContext(ctx, method, p.url+"/v1/printers/"+p.printer+what, strings.NewReader(body))
	if err != nil {
		return 0, err
	}
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Authorization", "Bearer "+p.token)
	res, err := client.Do(r)
	if err != nil {
		return 0, err
	}
	defer res.Body.Close()
	_, err = io.Copy(io.Discard, res.Body)
	return res.StatusCode, err
}
