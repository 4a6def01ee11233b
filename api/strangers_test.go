package api_test

import (
	"bufio"
	"context"
	"crypto/tls"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"net/netip"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"fettle/api"
	"fettle/api/guard"
)

// lan is a listener to which connections of the shop's network come, over pipes.
type lan struct{ *pipes }

type lanConn struct{ net.Conn }

func (lanConn) RemoteAddr() net.Addr { return &net.TCPAddr{IP: net.IPv4(192, 168, 1, 50), Port: 5000} }
func (lanConn) LocalAddr() net.Addr  { return &net.TCPAddr{IP: net.IPv4(192, 168, 1, 7), Port: 7340} }

func (l lan) Accept() (net.Conn, error) {
	c, err := l.pipes.Accept()
	if err != nil {
		return nil, err
	}
	return lanConn{c}, nil
}

// onLAN serves until the test's bubble is left.
func (g *guarded) onLAN(ctx context.Context) (lan, func()) {
	l := lan{listen()}
	ctx, stop := context.WithCancel(ctx)
	ended := make(chan error)
	go func() { ended <- g.server.Serve(ctx, l) }() // ends with stop
	return l, func() {
		stop()
		if err := <-ended; err != nil {
			g.Error(err)
		}
	}
}

// Raw handshakes over a pipe. Until somebody is known by a key that counts there, no byte of state leaves: the answer
// is a problem of the table, and behind it is nothing.
func TestNoStateBeforeAKey(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := newGuarded(t, true)
		g.book.add(3)
		phone, script := g.pair("Ana's phone", guard.Watch), g.token(guard.Watch)
		secret := strings.TrimPrefix(script, "Authorization: Bearer ")
		l, stop := g.onLAN(t.Context())
		defer stop()
		handshakes, opened, stateBytes := 0, 0, 0
		for _, path := range []string{"/v1/live", "/v1/live?after=0&store=s1", "/v1/printers/p1/wire", "/v1/live?token=" + secret} {
			for _, host := range []string{"board.local:7340", "192.168.1.7:7340", "192.168.1.8:7340", "evil.example"} {
				for _, origin := range []string{"", "own", "http://evil.example", "null", "https://board.local:7340", "http://board.local"} {
					for _, credential := range []string{"", phone[1], script, "Authorization: Bearer " + strings.Repeat("A", 43), "Sec-WebSocket-Protocol: " + secret} {
						sent := origin
						if origin == "own" {
							sent = "http://" + host
						}
						ask := fmt.Sprintf("GET %s HTTP/1.1\r\nHost: %s\r\nConnection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n", path, host)
						if sent != "" {
							ask += "Origin: " + sent + "\r\n"
						}
						if credential != "" {
							ask += credential + "\r\n"
						}
						hostOwn := host == "board.local:7340" || host == "192.168.1.7:7340"
						originOwn := sent == "http://"+host
						want := hostOwn && !strings.Contains(path, "token=") && (credential == phone[1] && originOwn || credential == script && (originOwn || sent == ""))
						handshakes++
						conn, err := l.dial(t.Context(), "", "")
						if err != nil {
							t.Fatal(err)
						}
						go io.WriteString(conn, ask+"\r\n") // ends when it is taken in
						in := bufio.NewReader(conn)
						res, err := http.ReadResponse(in, nil)
						if err != nil {
							t.Fatal(err)
						}
						if got := res.StatusCode == http.StatusSwitchingProtocols; got != want {
							t.Errorf("%q: %d, want through %t", ask, res.StatusCode, want)
						}
						if res.StatusCode == http.StatusSwitchingProtocols {
							opened++
							conn.Close()
							time.Sleep(time.Second) // false time: the rate of one address
							continue
						}
						body, _ := io.ReadAll(res.Body)
						var p map[string]any
						if err := json.Unmarshal(body, &p); err != nil || p["code"] == nil || strings.Contains(string(body), "s1") {
							t.Errorf("%q: %s", ask, body)
							stateBytes += len(body)
						}
						conn.SetReadDeadline(time.Now().Add(10 * time.Second))
						behind, _ := io.ReadAll(in)
						stateBytes += len(behind)
						conn.Close()
					}
				}
			}
		}
		t.Logf("%d handshakes, %d let in, %d bytes of state to others", handshakes, opened, stateBytes)
		if stateBytes > 0 || opened == 0 {
			t.Error("see above")
		}
	})
}

// A websocket and a stream end when their key is taken away, the first with code 1008 (RFC 6455 section 7.4.1).
func TestRevokingClosesSocketsAndStreams(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := newGuarded(t, true)
		g.book.add(2)
		g.pair("Ana's phone", guard.Operate)
		bo := g.token(guard.Watch)
		l, stop := g.onLAN(t.Context())
		defer stop()
		conn, err := l.dial(t.Context(), "", "")
		if err != nil {
			t.Fatal(err)
		}
		page := shakeWith(t, conn, "board.local:7340", "/v1/live", bo)
		closed := make(chan int)
		go func() {
			for {
				if _, code := page.read(); code != 0 {
					conn.Close()
					closed <- code
					return
				}
			}
		}()
		followed := make(chan string)
		go func() {
			r, _ := http.NewRequest("GET", "http://board.local:7340/v1/events?follow=1", nil)
			r.Header.Set("Authorization", strings.TrimPrefix(bo, "Authorization: "))
			res, err := l.client().Do(r)
			if err != nil {
				followed <- err.Error()
				return
			}
			text, _ := io.ReadAll(res.Body)
			followed <- string(text)
		}()
		time.Sleep(10 * time.Second)
		began := time.Now()
		if err := g.server.Guard.Revoke(t.Context(), "a2", "Ana's phone"); err != nil {
			t.Fatal(err)
		}
		if code := <-closed; code != 1008 {
			t.Errorf("the socket was closed with %d", code)
		}
		if text := <-followed; strings.Count(text, "\n") != 2 {
			t.Errorf("the stream had %q", text)
		}
		if took := time.Since(began); took > 2*time.Second {
			t.Errorf("it took %s", took)
		}
	})
}

// Who is no neighbour is hung up on before a byte; a guarded server may listen anywhere, by TLS as well.
func TestAGuardedServerListensAnywhere(t *testing.T) {
	cert, err := guard.OwnCertificate(t.TempDir(), []string{"localhost"}, []netip.Addr{netip.MustParseAddr("127.0.0.1")})
	if err != nil {
		t.Fatal(err)
	}
	g := newGuarded(t, true, func(c *api.Config) { c.TLS, c.Fingerprint = guard.TLS(cert), guard.Fingerprint(cert) })
	l, err := net.Listen("tcp", "0.0.0.0:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error)
	go func() { ended <- g.server.Serve(ctx, l) }() // ends with stop
	_, port, _ := net.SplitHostPort(l.Addr().String())
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}}
	res, err := client.Get("https://127.0.0.1:" + port + "/v1/about")
	if err != nil {
		t.Fatal(err)
	}
	body, _ := io.ReadAll(res.Body)
	if !strings.Contains(string(body), guard.Fingerprint(cert)) || strings.Contains(string(body), "network") || res.ProtoMajor != 1 {
		t.Errorf("over %s: %s", res.Proto, body)
	}
	client.CloseIdleConnections()
	stop()
	if err := <-ended; err != nil {
		t.Error(err)
	}
}

// 10,000 nasty strings in paths, parameters, headers and bodies, by somebody paired and by nobody. Every answer
// has all headers, is JSON where it is a problem, has the texts of the table, and no place where a browser would see a tag.
func TestNastyStringsComeBackAsText(t *testing.T) {
	g := newGuarded(t, true)
	g.Handler = g.server.Handler() // most of these are no requests that the document knows
	phone := g.pair("Ana's phone", guard.Operate)
	random := rand.New(rand.NewPCG(7, 8))
	seeds := []string{"<script>alert(1)</script>", "\"><img src=x onerror=alert(1)>", "';--", "\u2028\u2029", "</title>", "javascript:alert(1)", "{{7*7}}",
		"%00", "\x7f", "../../etc/passwd", "\r\nSet-Cookie: a=b", "\ufeff", "\u202e", "=1+1", "N1 G1*5", "1e400", "+0x10", "NaN"}
	rows := map[string]bool{}
	for code := range strings.SplitSeq("unpaired not_allowed no_access foreign_host malformed invalid bad_query bad_key not_found method_not_allowed no_run no_printer no_material "+
		"material_exists too_large not_json token_in_address pairing_shut wrong_code", " ") {
		var row struct{ Title, Detail string }
		if err := json.Unmarshal(g.ask("GET", "/problems/"+code, "", phone...).Body.Bytes(), &row); err != nil || row.Detail == "" {
			t.Fatalf("%s: %v", code, err)
		}
		rows[row.Title+"\n"+row.Detail] = true
	}
	asked, problems, unknown := 0, 0, 0
	for range 10_000 {
		nasty := seeds[random.IntN(len(seeds))] + seeds[random.IntN(len(seeds))]
		path := strings.NewReplacer(" ", "%20", "\r", "%0D", "\n", "%0A", "\"", "%22", "\x7f", "%7F").Replace(nasty)
		quoted, _ := json.Marshal(nasty)
		method, at, body := "GET", "/v1/runs/r1", ""
		switch random.IntN(8) {
		case 0:
			at = "/v1/runs/" + strings.ReplaceAll(strings.ReplaceAll(path, "%00", "x"), "%", "%25")
		case 1:
			at = "/v1/logbook?kind=" + strings.ReplaceAll(path, "%", "%25")
		case 2:
			at = "/v1/runs?" + strings.ReplaceAll(path, "%", "%25") + "=1"
		case 3:
			method, at, body = "POST", "/v1/materials", fmt.Sprintf(`{"id":"m9","name":%s,"nozzle_c":210,"nozzle_min_c":190,"nozzle_max_c":230}`, quoted)
		case 4:
			method, at, body = "POST", "/v1/pair", fmt.Sprintf(`{"code":"123456789","name":%s}`, quoted)
		case 5:
			method, at, body = "POST", "/v1/runs", fmt.Sprintf(`{%s:1}`, quoted)
		case 6:
			method, at, body = "POST", "/v1/printers/p1/lines", fmt.Sprintf(`{"line":%s,"attended":true}`, quoted)
		case 7:
			method, at, body = "PUT", "/v1/materials/m9", nasty
		}
		header := phone
		if random.IntN(4) == 0 {
			header = nil
		}
		w := g.ask(method, at, body, header...)
		asked++
		for _, name := range []string{"Content-Security-Policy", "X-Content-Type-Options", "Referrer-Policy", "Cross-Origin-Resource-Policy"} {
			if w.Header().Get(name) == "" {
				t.Fatalf("%s %s: no %s", method, at, name)
			}
		}
		kind := w.Header().Get("Content-Type")
		if !strings.HasPrefix(kind, "application/") || strings.ContainsAny(w.Body.String(), "<>") || len(w.Result().Cookies()) > 0 {
			t.Errorf("%s %s: %s %q", method, at, kind, w.Body)
		}
		if w.Code < 400 {
			continue
		}
		problems++
		var p struct{ Title, Detail string }
		if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || !rows[p.Title+"\n"+p.Detail] {
			unknown++
			t.Errorf("%s %s %q: %q is not of the table", method, at, body, w.Body)
		}
	}
	t.Logf("%d nasty requests: %d problems, %d texts not of the table", asked, problems, unknown)
}
