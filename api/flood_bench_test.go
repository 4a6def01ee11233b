package api_test

import (
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"fettle/api"
	"fettle/api/guard"
)

// BenchmarkStopUnderFlood presses Stop over TCP: on a quiet server, and while seven other addresses of this computer keep
// as many connections open as they may and ask as fast as they can, of the API and for stops of p1. The goal: 50 ms.
//
// Who is not paired and presses p1 again and again measures the spacing of such presses, 20 ms, and not the way of one:
// each but the first shares the turn behind the one before. One press is what is measured on a printer that nobody
// pressed a moment ago, or with a key, whose presses are not put together.
//
//	go test -run xxx -bench StopUnderFlood ./api
func BenchmarkStopUnderFlood(b *testing.B) {
	for _, flooded := range []string{"quiet", "flood"} {
		for _, who := range []presser{{name: "nobody-again"}, {name: "nobody-once", printers: 4096}, {name: "paired", paired: true}} {
			b.Run(flooded+"/"+who.name, func(b *testing.B) { benchStop(b, flooded == "flood", who) })
		}
	}
}

// presser is who presses Stop, and on how many printers in turn; 0: on p1, again and again.
type presser struct {
	name     string
	printers int
	paired   bool
}

// anyPrinter stops whatever printer there may be.
type anyPrinter struct{ *fakeRunner }

func (a anyPrinter) Stop(string, string) error { a.done.Add(1); return nil }

func benchStop(b *testing.B, flooded bool, who presser) {
	g := newGuarded(b, true, func(c *api.Config) { c.Runner = anyPrinter{&fakeRunner{}} })
	var key []string
	if who.paired {
		key = g.pair("phone", guard.Operate)
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		b.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- g.server.Serve(ctx, l) }() // ends with stop
	var asked atomic.Int64
	var crowd sync.WaitGroup
	flooding, calm := context.WithCancel(context.Background())
	if flooded {
		for n := range 7 * 32 {
			crowd.Go(func() { flood(flooding, l.Addr().String(), n, &asked) }) // ends with calm
		}
	}
	client := clientFrom(net.IPv4(127, 0, 0, 1))
	var took []time.Duration
	for b.Loop() {
		printer := 1
		if who.printers > 0 {
			printer = 2 + len(took)%who.printers
		}
		began := time.Now()
		press(b, client, fmt.Sprintf("http://%s/v1/printers/p%d/stop", l.Addr(), printer), key...)
		took = append(took, time.Since(began))
	}
	calm()
	crowd.Wait()
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "ms-p50")
	b.ReportMetric(float64(took[len(took)*99/100].Microseconds())/1000, "ms-p99")
	b.ReportMetric(float64(took[len(took)-1].Microseconds())/1000, "ms-max")
	b.ReportMetric(float64(asked.Load())/b.Elapsed().Seconds(), "flood-requests/s")
	client.CloseIdleConnections()
	stop()
	if err := <-ended; err != nil {
		b.Error(err)
	}
}

func press(b *testing.B, client *http.Client, url string, key ...string) {
	r, err := http.NewRequest("POST", url, nil)
	if err != nil {
		b.Fatal(err)
	}
	r.Host = "board.local:7340"
	for _, line := range key {
		name, value, _ := strings.Cut(line, ": ")
		r.Header.Set(name, value)
	}
	res, err := client.Do(r)
	if err != nil {
		b.Fatal(err)
	}
	io.Copy(io.Discard, res.Body)
	res.Body.Close()
	if res.StatusCode != http.StatusAccepted {
		b.Fatalf("a stop was answered %d", res.StatusCode)
	}
}

// clientFrom calls from one of the addresses of this computer (127.0.0.0/8).
func clientFrom(ip net.IP) *http.Client {
	dialer := &net.Dialer{LocalAddr: &net.TCPAddr{IP: ip}}
	return &http.Client{Transport: &http.Transport{DialContext: dialer.DialContext}}
}

// flood asks over one connection as fast as it is answered, for a stop each third time.
func flood(ctx context.Context, address string, n int, asked *atomic.Int64) {
	client := clientFrom(net.IPv4(127, 0, 1, byte(1+n%7)))
	defer client.CloseIdleConnections()
	for i := 0; ctx.Err() == nil; i++ {
		method, path := "GET", "/v1/printers"
		if i%3 == 0 {
			method, path = "POST", "/v1/printers/p1/stop"
		}
		r, _ := http.NewRequestWithContext(ctx, method, "http://"+address+path, nil)
		if res, err := client.Do(r); err == nil {
			io.Copy(io.Discard, res.Body)
			res.Body.Close()
			asked.Add(1)
		}
	}
}
