package api_test

import (
	"context"
	"io"
	"net"
	"net/http"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// BenchmarkStopUnderFlood presses Stop, as nobody, over TCP: on a quiet server, and while seven other addresses of this
// computer keep as many connections open as they may and ask as fast as they can, of the API and for stops. The goal:
// 50 ms. The stops' spacing of 20 ms for those who are not paired is in these figures.
//
//	go test -run xxx -bench StopUnderFlood ./api
func BenchmarkStopUnderFlood(b *testing.B) {
	for _, kind := range []string{"quiet", "flood"} {
		b.Run(kind, func(b *testing.B) {
			g := newGuarded(b, true)
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
			if kind == "flood" {
				for n := range 7 * 32 {
					crowd.Go(func() { flood(flooding, l.Addr().String(), n, &asked) }) // ends with calm
				}
			}
			client := clientFrom(net.IPv4(127, 0, 0, 1))
			var took []time.Duration
			for b.Loop() {
				began := time.Now()
				press(b, client, l.Addr().String())
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
		})
	}
}

func press(b *testing.B, client *http.Client, address string) {
	r, err := http.NewRequest("POST", "http://"+address+"/v1/printers/p1/stop", nil)
	if err != nil {
		b.Fatal(err)
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
