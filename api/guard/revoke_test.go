package guard_test

import (
	"context"
	"crypto/tls"
	"errors"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"fettle/api/guard"
	"fettle/routines/logbook"
)

// What a key has open ends when it is revoked: here at once, in another process within a second. That of others goes on.
func TestRevokingCutsWhatIsOpen(t *testing.T) {
	for _, elsewhere := range []bool{false, true} {
		synctest.Test(t, func(t *testing.T) {
			b := newBench(t)
			mine, other := b.phone("Ana's phone", guard.Watch), b.phone("Bo's phone", guard.Watch)
			defer b.life()()
			causes := make(chan error, 2)
			door := b.Door(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
				select {
				case <-r.Context().Done():
					causes <- context.Cause(r.Context())
				case <-time.After(time.Hour):
					causes <- nil
				}
			}), b.refuse, func(*http.Request) bool { return false })
			for _, cookie := range []string{mine, other} {
				r := b.request("GET", "/v1/live", "Cookie: "+cookie)
				go door.ServeHTTP(httptest.NewRecorder(), r) // ends with its key, or after an hour
			}
			synctest.Wait()
			began := time.Now()
			if elsewhere {
				b.want(b.book.RevokeAccess(t.Context(), "a1", "the keyboard"), nil)
			} else {
				b.want(b.Revoke(t.Context(), "a1", "Bo's phone"), nil)
			}
			if cause := <-causes; !errors.Is(cause, guard.ErrRevoked) || time.Since(began) > time.Second || !elsewhere && time.Since(began) > 0 {
				t.Errorf("elsewhere %t: ended after %s with %v", elsewhere, time.Since(began), cause)
			}
			b.need = guard.Watch
			b.want(b.ask("GET", "/", "Cookie: "+mine), guard.ErrUnpaired)
			b.want(b.ask("GET", "/", "Cookie: "+other), nil)
			if cause := <-causes; cause != nil {
				t.Errorf("the other one ended with %v", cause)
			}
		})
	}
}

// A store that fails keeps nobody out who was in, and lets nobody in.
func TestAFailingStore(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var broken failing
		b := newBench(t, func(c *guard.Config) { broken.Store = c.Store; c.Store = &broken })
		cookie := b.phone("Ana's phone", guard.Operate)
		defer b.life()()
		time.Sleep(time.Minute)
		broken.fails.Store(true)
		time.Sleep(time.Minute)
		b.want(b.ask("GET", "/", "Cookie: "+cookie), nil)
		b.want(b.ask("GET", "/", "Authorization: Bearer "+strings.Repeat("A", 43)), guard.ErrUnpaired)
	})
}

type failing struct {
	guard.Store
	fails atomic.Bool
}

func (f *failing) Accesses(ctx context.Context) ([]logbook.Access, error) {
	if f.fails.Load() {
		return nil, logbook.ErrStore
	}
	return f.Store.Accesses(ctx)
}

// What the cookie is, without and with TLS. Source: RFC 6265bis sections 4.1.2 and 4.1.3.
func TestTheCookie(t *testing.T) {
	b := newBench(t)
	plain, secure := b.request("GET", "/"), b.request("GET", "/")
	secure.TLS = &tls.ConnectionState{}
	for _, c := range []struct {
		r    *http.Request
		want string
	}{
		{plain, b.CookieName(plain) + "=x; Path=/; Max-Age=34560000; HttpOnly; SameSite=Strict"},
		{secure, "__Host-" + b.CookieName(plain) + "=x; Path=/; Max-Age=34560000; HttpOnly; Secure; SameSite=Strict"},
	} {
		if got := b.Cookie(c.r, "x").String(); got != c.want {
			t.Errorf("%s, want %s", got, c.want)
		}
	}
	if other := newBench(t); other.CookieName(plain) == b.CookieName(plain) {
		t.Error("two agents share a cookie")
	}
	// Under TLS a cookie without the prefix could be planted by a neighbour, and does not count.
	cookie := b.phone("Ana's phone", guard.Operate)
	for prefix, want := range map[string]error{"": guard.ErrUnpaired, "__Host-": nil} {
		r := b.request("GET", "/", "Cookie: "+prefix+cookie)
		r.TLS = &tls.ConnectionState{}
		b.refused = nil
		b.ServeHTTP(httptest.NewRecorder(), r)
		b.want(b.refused, want, "under TLS with prefix ", prefix)
	}
	// So many planted cookies are no way to keep somebody busy.
	var many []string
	for range 50 {
		many = append(many, "Cookie: "+b.CookieName(plain)+"="+strings.Repeat("B", 43))
	}
	b.want(b.ask("GET", "/", many...), guard.ErrUnpaired)
}

// headerHosts are those on this computer, which a browser trusts over plain HTTP as well, and then others.
var headerHosts = []string{"localhost", "127.0.0.1:7340", "[::1]:7340", "board.local", "192.168.4.2:7340"}

func trustedHost(host string) bool { return slices.Index(headerHosts, host) < 3 }

// The headers of every answer. The policy is compared word for word.
func TestTheHeaders(t *testing.T) {
	for _, strict := range []bool{false, true} {
		b := newBench(t, func(c *guard.Config) { c.Strict = strict })
		for n := range 2 * len(headerHosts) {
			secure := n%2 == 1
			r := b.request("GET", "/")
			r.Host = headerHosts[n/2]
			if secure {
				r.TLS = &tls.ConnectionState{}
			}
			h := http.Header{}
			b.Secure(h, r)
			for name, want := range map[string]string{
				"Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data:; " +
					"base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
				"X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer", "Cross-Origin-Resource-Policy": "same-origin",
			} {
				if h.Get(name) != want {
					t.Errorf("%s: %q", name, h.Get(name))
				}
			}
			if got := h.Get("Cross-Origin-Opener-Policy") == "same-origin"; got != (secure || trustedHost(r.Host)) {
				t.Errorf("%s, TLS %t: Cross-Origin-Opener-Policy is sent: %t", r.Host, secure, got)
			}
			if got := h.Get("Strict-Transport-Security") != ""; got != (strict && secure) {
				t.Errorf("strict %t, TLS %t: HSTS is sent: %t", strict, secure, got)
			}
		}
	}
}
