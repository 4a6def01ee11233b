package api_test

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"fettle/api"
	"fettle/api/held"
	"fettle/routines/logbook"
)

// serving runs a server over pipes until the returned function is called, which gives what Serve returned.
func serving(b *bench) (*pipes, func() error) {
	l := listen()
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error)
	go func() { ended <- b.server.Serve(ctx, l) }() // ends with stop
	return l, func() error { stop(); return <-ended }
}

// TestEverythingEndsWithTheServer: a socket, a follower, a long-poll and a plain request are under way when the server
// is told to end. The bubble fails where a goroutine is left behind.
func TestEverythingEndsWithTheServer(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.runner.line = func(ctx context.Context) ([]string, error) {
			time.Sleep(2 * time.Second) // within the time a request is given to end
			return []string{"said"}, ctx.Err()
		}
		l, stop := serving(b)
		conn, err := l.dial(t.Context(), "", "")
		if err != nil {
			t.Fatal(err)
		}
		socket := shake(t, conn, "localhost:8017", "/v1/live")
		closed, followed, polled, sent := make(chan int), make(chan string), make(chan int), make(chan int)
		go func() {
			for {
				if _, code := socket.read(); code != 0 {
					conn.Close()
					closed <- code
					return
				}
			}
		}()
		fetch := func(method, path, body string) (int, string) {
			r, _ := http.NewRequest(method, "http://localhost:8017"+path, strings.NewReader(body))
			r.Header.Set("Content-Type", "application/json")
			res, err := l.client().Do(r)
			if err != nil {
				return 0, err.Error()
			}
			defer res.Body.Close()
			text, _ := io.ReadAll(res.Body)
			return res.StatusCode, string(text)
		}
		b.book.add(2)
		go func() { _, text := fetch("GET", "/v1/events?follow=1", ""); followed <- text }()
		go func() { code, _ := fetch("GET", "/v1/runs/r1?until=ended&within=120s", ""); polled <- code }()
		go func() { code, _ := fetch("POST", "/v1/printers/p1/lines", `{"line":"M105"}`); sent <- code }()
		synctest.Wait()
		begun := time.Now()
		told := make(chan bool)
		go func() {
			defer close(told)
			if code := <-closed; code != 1001 {
				t.Errorf("the socket was closed with %d", code)
			}
			if text := <-followed; strings.Count(text, "\n") != 2 {
				t.Errorf("the follower had %q", text)
			}
			if code := <-polled; code != 200 {
				t.Errorf("the long-poll was answered %d", code)
			}
			if code := <-sent; code != 200 {
				t.Errorf("the line was answered %d", code)
			}
		}()
		if err := stop(); err != nil {
			t.Error(err)
		}
		<-told
		if took := time.Since(begun); took > 3*time.Second {
			t.Errorf("it took %s to end", took)
		}
	})
}

// TestSlowClientsAreCutOff: headers must come within 5 s, a body within 10 s, and a stream must be taken in within 3 s.
func TestSlowClientsAreCutOff(t *testing.T) {
	for _, c := range []struct {
		what, sends string
		within      time.Duration
	}{
		{"a slow header", "GET /v1/about HTTP/1.1\r\nHost: loc", 5 * time.Second},
		{"a slow body", "POST /v1/runs HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 9\r\n\r\n{", 11 * time.Second},
		{"a stop with a slow body", "POST /v1/printers/p1/stop HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 9\r\n\r\n{", 11 * time.Second},
		{"a form with a slow body", "POST /v1/runs HTTP/1.1\r\nHost: localhost\r\nContent-Length: 9\r\n\r\n{", 11 * time.Second},
		{"a stream that nobody reads", "GET /v1/events?follow=1 HTTP/1.1\r\nHost: localhost\r\n\r\n", 4 * time.Second},
	} {
		synctest.Test(t, func(t *testing.T) {
			b := newBench(t)
			b.book.add(2000)
			l, stop := serving(b)
			conn, err := l.dial(t.Context(), "", "")
			if err != nil {
				t.Fatal(err)
			}
			begun := time.Now()
			if _, err := io.WriteString(conn, c.sends); err != nil {
				t.Fatal(err)
			}
			time.Sleep(c.within) // false time, not reading
			synctest.Wait()
			conn.SetReadDeadline(time.Now().Add(time.Second))
			if _, err := io.Copy(io.Discard, conn); err != nil {
				t.Errorf("%s is still served after %s: %v", c.what, time.Since(begun), err)
			}
			conn.Close()
			if err := stop(); err != nil {
				t.Error(err)
			}
		})
	}
}

func TestOnlyLoopbackIsServed(t *testing.T) {
	b := newBench(t)
	l, err := net.Listen("tcp", "0.0.0.0:0")
	if err != nil {
		t.Fatal(err)
	}
	if err := b.server.Serve(t.Context(), l); !errors.Is(err, api.ErrNotLoopback) {
		t.Errorf("served on %s: %v", l.Addr(), err)
	}
}

// TestOverARealSocket is the whole server on a TCP port, held to the document by its websocket messages too.
func TestOverARealSocket(t *testing.T) {
	b := newBench(t)
	b.book.add(5)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error)
	go func() { ended <- b.server.Serve(ctx, l) }() // ends with stop
	dial := func(path string) *socket {
		conn, err := net.Dial("tcp", l.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { conn.Close() })
		return shake(t, conn, l.Addr().String(), path)
	}
	page := dial("/v1/live?after=2&store=s1")
	first, _ := page.read()
	held.Message(t, "LiveSnapshot", first)
	for seq := int64(3); seq <= 5; seq++ {
		var m struct {
			Type  string
			Event logbook.Event
		}
		raw, _ := page.read()
		if err := json.Unmarshal(raw, &m); err != nil || m.Event.Seq != seq {
			t.Fatalf("event %d: %s %v", seq, raw, err)
		}
		held.Message(t, "LiveEvent", raw)
	}
	line, _ := dial("/v1/printers/p1/wire?after=1").read()
	if !strings.Contains(string(line), `"n":2`) {
		t.Fatalf("wire: %s", line)
	}
	held.Message(t, "WireLine", line)
	r, err := http.Get("http://" + l.Addr().String() + "/v1/events?follow=1")
	if err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(r.Body)
	for n := 0; n < 5 && lines.Scan(); n++ {
	}
	b.book.add(1)
	if !lines.Scan() || !strings.Contains(lines.Text(), `"seq":6`) {
		t.Errorf("followed: %s %v", lines.Text(), lines.Err())
	}
	stop()
	if err := <-ended; err != nil {
		t.Error(err)
	}
	r.Body.Close()
}
