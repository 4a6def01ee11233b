package guard

import (
	"net"
	"net/http"
	"net/netip"
	"strings"
)

// policy lets a page load what comes from here and nothing else (CSP level 3).
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data:; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// strictness is RFC 6797. It is for 30 days and for TLS that browsers trust: over plain HTTP it means nothing, and with a
// certificate of our own it would take the person's choice away.
const strictness = "max-age=2592000"

// Secure sets the headers that every answer has.
func (g *Guard) Secure(h http.Header, r *http.Request) {
	h.Set("Content-Security-Policy", policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	if trusted(r) {
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
	}
	if g.Strict && r.TLS != nil {
		h.Set("Strict-Transport-Security", strictness)
	}
}

// trusted reports whether a browser takes the origin for trustworthy: TLS, or this computer. Elsewhere it ignores
// Cross-Origin-Opener-Policy and complains of it on every page.
func trusted(r *http.Request) bool {
	host, _, err := net.SplitHostPort(r.Host)
	if err != nil {
		host = strings.Trim(r.Host, "[]")
	}
	addr, err := netip.ParseAddr(host)
	return r.TLS != nil || strings.EqualFold(host, "localhost") || (err == nil && addr.Unmap().IsLoopback())
}

// Overheard reports whether others on the network can read this request and its answer along.
func Overheard(r *http.Request) bool {
	return r.TLS == nil && !localAddress(r).IsLoopback()
}

// peer is the address that a request comes from.
func peer(r *http.Request) netip.Addr {
	ap, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil {
		return netip.Addr{}
	}
	return ap.Addr().Unmap()
}
