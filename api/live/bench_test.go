package live_test

import (
	"log/slog"
	"net/http"
	"net/http/httptest"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"fettle/api/live"

	"github.com/gorilla/websocket"
)

// BenchmarkFanOut publishes an event to listeners on loopback and waits until all have it, with 1 and with 200 of them;
// 10 more never read. It prints the time to the last listener and how long the publisher was held.
func BenchmarkFanOut(b *testing.B) {
	for _, listeners := range []int{1, 200} {
		b.Run(map[int]string{1: "1", 200: "200 and 10 dead"}[listeners], func(b *testing.B) { fanOut(b, listeners) })
	}
}

func fanOut(b *testing.B, listeners int) {
	events, benches := &book{}, &benches{}
	hub := live.New(live.Config{Book: events, Bench: benches, Log: slog.New(slog.DiscardHandler)})
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { hub.Events(w, r, -1, "") }))
	defer server.Close()
	defer hub.Close(b.Context())
	var have sync.WaitGroup
	dial := func() *websocket.Conn {
		c, _, err := websocket.DefaultDialer.Dial(strings.Replace(server.URL, "http", "ws", 1), nil)
		if err != nil {
			b.Fatal(err)
		}
		if _, _, err := c.ReadMessage(); err != nil { // the snapshot
			b.Fatal(err)
		}
		return c
	}
	for range listeners {
		c := dial()
		defer c.Close()
		go func() { // ends with the connection
			for {
				var m told
				if c.ReadJSON(&m) != nil {
					return
				}
				if m.Type == "event" {
					have.Done()
				}
			}
		}()
	}
	if listeners > 1 {
		for range 10 {
			defer dial().Close()
		}
	}
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	var all, held []time.Duration
	for b.Loop() {
		have.Add(listeners)
		begun := time.Now()
		events.add(1)
		held = append(held, time.Since(begun))
		have.Wait()
		all = append(all, time.Since(begun))
	}
	runtime.ReadMemStats(&after)
	slices.Sort(all)
	slices.Sort(held)
	b.ReportMetric(float64(all[len(all)*99/100].Microseconds())/1000, "ms-p99-to-last")
	b.ReportMetric(float64(held[len(held)-1].Microseconds())/1000, "ms-publisher-held-max")
	b.ReportMetric(float64(after.HeapInuse)/(1<<20), "MiB-heap")
}
