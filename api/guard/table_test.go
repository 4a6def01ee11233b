package guard_test

import (
	"math/rand/v2"
	"net"
	"net/http"
	"slices"
	"strings"
	"testing"

	"fettle/api/guard"
)

// Method x Host x Origin x Sec-Fetch-Site x kind of body x credential. What must pass is worked out
// from the rules alone. Sources: Fetch standard (Origin, Sec-Fetch-Site), RFC 9110 section 7.2 (Host), RFC 6265bis.
func TestTheTableOfWhoMayComeIn(t *testing.T) {
	b := newBench(t)
	cookie, bearer := b.phone("Ana's phone", guard.Operate), b.token("script", guard.Operate)
	planted := strings.Replace(cookie, cookie[len(cookie)-8:], "AAAAAAAA", 1)
	credentials := map[string][]string{
		"nothing": nil, "cookie": {"Cookie: " + cookie}, "planted cookie": {"Cookie: " + planted}, "planted before": {"Cookie: " + planted, "Cookie: " + cookie},
		"bearer": {"Authorization: Bearer " + bearer}, "wrong bearer": {"Authorization: Bearer " + strings.Repeat("A", 43)},
		"cookie as bearer": {"Authorization: Basic " + bearer}, "bearer as cookie of another name": {"Cookie: fettle-00000000=" + bearer},
	}
	hosts := map[string]bool{"board.local:7340": true, "192.168.1.7:7340": true, "PRINTERS.lan": true, "evil.example": false, "192.168.1.8:7340": false}
	methods := []string{"GET", "POST", "PUT", "DELETE", "upgrade"}
	origins := []string{"", "own", "http://evil.example", "null", "https own", "http://board.local:8080"}
	sites := []string{"", "none", "same-origin", "same-site", "cross-site"}
	types := map[string]bool{"application/json": true, "text/plain": false, "application/x-www-form-urlencoded": false}

	combinations, foreign, own := 0, 0, 0
	for host, hostOwn := range hosts {
		for _, method := range methods {
			for _, origin := range origins {
				for _, site := range sites {
					for kind, isJSON := range types {
						for credential, lines := range credentials {
							sent := strings.NewReplacer("https own", "https://"+host, "own", "http://"+host).Replace(origin)
							header := append([]string{"Host: " + host, "At: 192.168.1.7:7340", "Content-Type: " + kind}, lines...)
							verb := method
							if method == "upgrade" {
								verb = "GET"
								header = append(header, "Connection: Upgrade", "Upgrade: websocket")
							}
							if sent != "" {
								header = append(header, "Origin: "+sent)
							}
							if site != "" {
								header = append(header, "Sec-Fetch-Site: "+site)
							}
							fromHere := sent == "" || sent == "http://"+host
							siteHere := site == "" || site == "none" || site == "same-origin"
							acts := method != "GET"
							body := method == "POST" || method == "PUT"
							byCookie := (credential == "cookie" || credential == "planted before") && fromHere && siteHere && (!acts || sent != "")
							through := hostOwn && (!acts || fromHere && (siteHere || method == "upgrade")) && (!body || isJSON) && (byCookie || credential == "bearer")
							got := b.ask(verb, "/v1/x", header...) == nil
							combinations++
							if got && !through {
								foreign++
								t.Errorf("let in: %s %q", verb, header)
							}
							if !got && through {
								own++
								t.Errorf("kept out with %v: %s %q", b.refused, verb, header)
							}
						}
					}
				}
			}
		}
	}
	t.Logf("%d combinations: %d foreign let in, %d own kept out", combinations, foreign, own)
	if combinations < 2000 {
		t.Error("the table is too small")
	}
}

// 10,000 random names, addresses and forms of both that are none of ours.
func TestForeignHostsAreRefused(t *testing.T) {
	b := newBench(t)
	b.need = guard.Open
	random := rand.New(rand.NewPCG(1, 2))
	passed, tried := 0, 0
	try := func(host string) {
		tried++
		if b.ask("GET", "/", "Host: "+host, "At: 192.168.1.7:7340") == nil {
			passed++
			t.Errorf("Host %q passes", host)
		}
	}
	const letters = "abcdefghijklmnopqrstuvwxyz0123456789-."
	for range 4000 {
		name := make([]byte, 1+random.IntN(20))
		for i := range name {
			name[i] = letters[random.IntN(len(letters))]
		}
		try(string(name) + []string{"", ":7340", ".local", ".board.local", ".", "board.local"}[random.IntN(6)])
	}
	for range 3000 {
		a := net.IPv4(byte(1+random.IntN(126)), byte(random.IntN(256)), byte(random.IntN(256)), byte(random.IntN(250))) // 10.9.9.9 aside
		if a.String() != "10.9.9.9" {
			try(a.String() + []string{"", ":7340", ":80"}[random.IntN(3)])
		}
	}
	for range 3000 {
		ip := make(net.IP, 16)
		for i := range ip {
			ip[i] = byte(random.Uint32())
		}
		try([]string{"[" + ip.String() + "]:7340", ip.String(), "[" + ip.String() + "%eth0]", "[" + ip.String() + "%25eth0]:7340"}[random.IntN(4)])
	}
	for _, host := range []string{"", "board.local.", "board.local:", "board.local:0", "board.local:65536", "board.local:7340:1", "board.local evil",
		"board.localx", "xboard.local", "user@board.local", "board.local/", "[board.local]", "[192.168.1.7]", "192.168.1.7.", "192.168.1.07", "192.168.1.8",
		"192.168.7", "3232235783", "0xc0a80107", "[::ffff:192.168.1.8]", "::1", "[::1", "[::1%lo]", "fd00::9", "[fd00::9%eth0]", "0.0.0.0", "[::]"} {
		try(host)
	}
	t.Logf("%d foreign hosts tried, %d passed", tried, passed)
	own := 0
	for _, host := range []string{"localhost", "LOCALHOST:7340", "127.0.0.1:1", "127.8.9.10", "[::1]:7340", "board.local", "BOARD.Local:443", "printers.lan:80",
		"192.168.1.7", "192.168.1.7:65535", "[::ffff:192.168.1.7]:7340", "10.9.9.9:7340", "[fd00::9]", "[fd00:0::9]:7340"} {
		b.want(b.ask("GET", "/", "Host: "+host, "At: 192.168.1.7:7340"), nil, host)
		own++
	}
	t.Logf("%d own forms pass", own)
}

// The list follows an address that changes in the middle of a session, both families.
func TestOurAddressFollowsTheConnection(t *testing.T) {
	b := newBench(t)
	b.need = guard.Open
	for _, c := range []struct {
		at, host string
		want     error
	}{
		{"192.168.1.7:7340", "192.168.1.7:7340", nil}, {"192.168.1.9:7340", "192.168.1.7:7340", guard.ErrForeignHost}, {"192.168.1.9:7340", "192.168.1.9:7340", nil},
		{"[fd00::7]:7340", "[fd00::7]:7340", nil}, {"[fd00::7]:7340", "192.168.1.9:7340", guard.ErrForeignHost}, {"[fe80::7%lo]:7340", "[fe80::7]:7340", nil},
	} {
		b.want(b.ask("GET", "/", "Host: "+c.host, "At: "+c.at), c.want, c)
	}
}

// What is refused is refused for the reason that a person is told.
func TestTheReasonsAreRight(t *testing.T) {
	b := newBench(t)
	token, watch := b.token("script", guard.Operate), b.token("screen", guard.Watch)
	for _, c := range []struct {
		want   error
		method string
		path   string
		header []string
	}{
		{guard.ErrForeignHost, "GET", "/", []string{"Host: evil.example", "Authorization: Bearer " + token}},
		{guard.ErrForeignOrigin, "POST", "/", []string{"Origin: http://evil.example", "Authorization: Bearer " + token}},
		{guard.ErrNotJSON, "POST", "/", []string{"Content-Type: text/plain", "Authorization: Bearer " + token}},
		{guard.ErrUnpaired, "GET", "/", nil},
		{guard.ErrNotAllowed, "GET", "/", []string{"Authorization: Bearer " + watch}},
		{guard.ErrTokenInAddress, "GET", "/?token=" + token, nil},
		{guard.ErrTokenInAddress, "GET", "/?a=1&ACCESS_TOKEN=" + token, []string{"Authorization: Bearer " + token}},
		{guard.ErrUnpaired, "GET", "/?after=" + token, nil},
		{nil, "GET", "/", []string{"Authorization: bearer " + token}},
	} {
		b.want(b.ask(c.method, c.path, c.header...), c.want, c.path, c.header)
	}
}

// A right that nobody has named is nobody's, and each other one includes what it should.
func TestRights(t *testing.T) {
	for _, stopOpen := range []bool{true, false} {
		b := newBench(t, func(c *guard.Config) { c.StopOpen = stopOpen })
		callers := map[string][]string{"nobody": nil, "watch": {"Authorization: Bearer " + b.token("w", guard.Watch)}, "operate": {"Authorization: Bearer " + b.token("o", guard.Operate)}}
		open := []string{"nobody", "watch", "operate"}
		stopping := open
		if !stopOpen {
			stopping = open[1:]
		}
		for right, who := range map[guard.Right][]string{guard.Open: open, guard.Stopping: stopping, guard.Watch: open[1:], guard.Operate: open[2:], "": nil, "own": nil} {
			for name, header := range callers {
				b.need = right
				if got := b.ask("POST", "/v1/x", header...) == nil; got != slices.Contains(who, name) {
					t.Errorf("stop open %t, right %q, %s: let in %t", stopOpen, right, name, got)
				}
			}
			if right.Known() != (len(who) > 0) {
				t.Errorf("right %q is known: %t", right, right.Known())
			}
		}
	}
}

// Without a store everybody is this computer, and pages of others are kept out all the same.
func TestTheDemosDoor(t *testing.T) {
	b := newBench(t, func(c *guard.Config) { c.Store = nil })
	b.want(b.ask("POST", "/"), nil)
	if b.caller.Name != "this computer" || b.caller.ID != "" {
		t.Errorf("the caller is %+v", b.caller)
	}
	b.want(b.ask("POST", "/", "Origin: http://evil.example"), guard.ErrForeignOrigin)
	b.want(b.ask("GET", "/", "Host: evil.example"), guard.ErrForeignHost)
	if _, _, err := b.Pair(t.Context(), guard.Attempt{Code: "123456789", Name: "x"}); err == nil {
		t.Error("the demo pairs")
	}
	b.want(b.Revoke(t.Context(), "a1", ""), guard.ErrNoKey)
	if all, err := b.Accesses(t.Context()); err != nil || len(all) != 0 {
		t.Error(all, err)
	}
	for range 1000 {
		b.want(b.ask("GET", "/", "From: 10.0.0.1:1"), nil)
	}
	var _ http.Handler = b
}
