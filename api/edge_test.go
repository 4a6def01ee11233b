package api_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net"
	"net/http"
	"testing"

	"pgregory.net/rapid"
)

// TestForeignPagesAreRefused walks method x Host x Origin x Sec-Fetch-Site x content type x path. What must pass is
// worked out here from the request alone: Fetch (origin header) and RFC 9110 7.2 (Host) are the sources.
func TestForeignPagesAreRefused(t *testing.T) {
	b := newBench(t)
	b.Handler = b.server.Handler() // TestRefusalsAtTheEdge holds the answers to the document
	hosts := map[string]bool{"localhost": true, "localhost:8017": true, "127.0.0.1:8017": true, "[::1]:8017": true, "LocalHost:1": true,
		"evil.example": false, "localhost.evil.example": false, "192.168.1.7:8017": false, "": false, "0.0.0.0:8017": false}
	origins := []string{"", "own", "http://evil.example", "null", "https://localhost:8017", "http://localhost:9999"}
	sites := []string{"", "same-origin", "same-site", "cross-site"}
	types := map[string]bool{"application/json": true, "application/json; charset=utf-8": true, "text/plain": false, "application/x-www-form-urlencoded": false, "": false}
	calls := [][2]string{{"GET", "/v1/about"}, {"POST", "/v1/runs"}, {"PUT", "/v1/materials/m1"}, {"POST", "/v1/printers/p1/stop"}}
	body := map[string]string{"POST /v1/runs": `{"printer":"p1","routine":"feed_check","material":"m1"}`,
		"PUT /v1/materials/m1": `{"name":"Invented","nozzle_c":200,"nozzle_min_c":190,"nozzle_max_c":210}`, "POST /v1/printers/p1/stop": "{}"}
	combinations, passed, refused := 0, 0, 0
	for host, hostOwn := range hosts {
		for _, origin := range origins {
			for _, site := range sites {
				for kind, kindOwn := range types {
					for _, call := range calls {
						own := origin == "own"
						sent := origin
						if own {
							sent = "http://" + host
						}
						header := []string{"Host: " + host, "Content-Type: " + kind}
						if sent != "" {
							header = append(header, "Origin: "+sent)
						}
						if site != "" {
							header = append(header, "Sec-Fetch-Site: "+site)
						}
						sameOrigin := (sent == "" || sent == "http://"+host) && (site == "" || site == "same-origin")
						safe := call[0] == "GET"
						want := hostOwn && (safe || sameOrigin && kindOwn)
						w := b.ask(call[0], call[1], body[call[0]+" "+call[1]], header...)
						combinations++
						if got := w.Code < 300; got != want {
							t.Errorf("%v %q: %d, want through %t", call, header, w.Code, want)
						}
						if w.Code < 300 {
							passed++
						} else {
							refused++
						}
						for _, h := range []string{"Content-Security-Policy", "X-Content-Type-Options", "Referrer-Policy", "Cross-Origin-Resource-Policy"} {
							if w.Header().Get(h) == "" {
								t.Fatalf("%v: no %s", call, h)
							}
						}
					}
				}
			}
		}
	}
	t.Logf("%d combinations: %d through, %d refused, none wrongly", combinations, passed, refused)
	if combinations < 2000 || passed == 0 || refused == 0 {
		t.Errorf("the table is too small: %d, %d through", combinations, passed)
	}
}

func TestRefusalsAtTheEdge(t *testing.T) {
	b := newBench(t)
	order := `{"printer":"p1","routine":"feed_check","material":"m1"}`
	b.problem(b.ask("GET", "/v1/about", "", "Host: evil.example"), "foreign_host")
	b.problem(b.ask("POST", "/v1/runs", order, "Origin: http://evil.example"), "foreign_origin")
	b.problem(b.ask("POST", "/v1/runs", order, "Origin: null"), "foreign_origin")
	b.problem(b.ask("POST", "/v1/runs", order, "Sec-Fetch-Site: cross-site"), "foreign_origin")
	b.problem(b.ask("POST", "/v1/runs", order, "Content-Type: text/plain"), "not_json")
	b.problem(b.ask("GET", "/v1/live", "", "Origin: http://evil.example", "Connection: Upgrade", "Upgrade: websocket"), "foreign_origin")
	b.problem(b.ask("GET", "/v1/printers/p1/wire", "", "Origin: http://evil.example", "Connection: Upgrade", "Upgrade: websocket"), "foreign_origin")
	if n := b.runner.done.Load(); n != 0 {
		t.Errorf("%d effects of refused requests", n)
	}
}

// TestRebindingNamesAreRefused tries 10,000 random names and addresses that are not this computer's.
func TestRebindingNamesAreRefused(t *testing.T) {
	b := newBench(t)
	b.Handler = b.server.Handler() // the same answer 10,000 times over is held once by the other tests
	random := rand.New(rand.NewPCG(1, 2))
	const letters = "abcdefghijklmnopqrstuvwxyz0123456789-."
	refuse := func(host string) {
		if w := b.ask("GET", "/v1/about", "", "Host: "+host); w.Code != http.StatusMisdirectedRequest {
			t.Fatalf("Host %q: %d", host, w.Code)
		}
	}
	for range 4000 {
		name := make([]byte, 1+random.IntN(20))
		for i := range name {
			name[i] = letters[random.IntN(len(letters))]
		}
		host := string(name) + []string{"", ":80", ".localhost", ".localhost:80", "."}[random.IntN(5)]
		if ip := net.ParseIP(host); ip == nil || !ip.IsLoopback() {
			refuse(host)
		}
	}
	for range 3000 {
		a := random.Uint32()
		if a>>24 != 127 {
			refuse(fmt.Sprintf("%d.%d.%d.%d:%d", a>>24, a>>16&255, a>>8&255, a&255, random.IntN(65536)))
		}
	}
	for range 3000 {
		ip := make(net.IP, 16)
		for i := range ip {
			ip[i] = byte(random.Uint32())
		}
		refuse("[" + ip.String() + "]:80")
		refuse(ip.String())
	}
	for _, host := range []string{"localhost.", "localhost:", "localhost:0", "localhost:65536", "localhost:80:80", "::1", "[127.0.0.1]", "[::1%25lo]:80",
		"[::1", "[localhost]", "[localhost]:80", "127.1", "2130706433", "0x7f.0.0.1", "127.0.0.1.evil.example", "localhost evil", "localhost/", "user@localhost", "[::ffff:8.8.8.8]"} {
		refuse(host)
	}
	for _, host := range []string{"localhost", "LOCALHOST:80", "127.0.0.1", "127.0.0.1:65535", "127.255.0.3", "[::1]", "[::1]:80", "[0:0:0:0:0:0:0:1]:80"} {
		if w := b.ask("GET", "/v1/about", "", "Host: "+host); w.Code != 200 {
			t.Errorf("own Host %q: %d", host, w.Code)
		}
	}
}

// TestAnyBodyIsAnswered throws bodies at every route that reads one: whatever comes, it is answered as the document says,
// and a refusal has the texts of the table and no others.
func TestAnyBodyIsAnswered(t *testing.T) {
	b := newBench(t)
	type texts struct{ Type, Title, Detail string }
	rapid.Check(t, func(t *rapid.T) {
		path := rapid.SampledFrom([]string{"/v1/runs", "/v1/printers", "/v1/materials", "/v1/printers/p1/lines", "/v1/runs/r1/answers", "/v1/runs/r1/take-back"}).Draw(t, "path")
		body := rapid.OneOf(rapid.String(), rapid.StringMatching(`\{("(printer|name|Line|line|question|inputs)":("a"|1|null|\{\}|\[\]|1e999),?){0,3}\}?.?`)).Draw(t, "body")
		if w := b.ask("POST", path, body); w.Code >= 500 {
			t.Errorf("POST %s %q: %d %s", path, body, w.Code, w.Body)
		} else if w.Code >= 400 {
			var said, row texts
			if err := json.Unmarshal(w.Body.Bytes(), &said); err != nil {
				t.Fatal(err)
			}
			if err := json.Unmarshal(b.ask("GET", said.Type, "").Body.Bytes(), &row); err != nil || row.Title != said.Title || row.Detail != said.Detail {
				t.Errorf("%+v is not what the table says: %+v", said, row)
			}
		}
	})
}
