package guard

import (
	"mime"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"slices"
	"strconv"
	"strings"
)

// admit holds a request to where it is sent and where it comes from: a name of ours against DNS rebinding, an origin of
// ours against pages of others, JSON alone against their forms.
func (g *Guard) admit(r *http.Request) error {
	if !g.ours(r) {
		return ErrForeignHost
	}
	if acts(r) && (http.NewCrossOriginProtection().Check(r) != nil || !sameOrigin(r)) {
		return ErrForeignOrigin
	}
	if unsafe(r) && r.ContentLength != 0 && !isJSON(r.Header) {
		return ErrNotJSON
	}
	if g.Store != nil && tokenInAddress(r.URL.RawQuery) {
		return ErrTokenInAddress
	}
	return nil
}

func unsafe(r *http.Request) bool {
	return r.Method != http.MethodGet && r.Method != http.MethodHead && r.Method != http.MethodOptions
}

// acts reports whether a request does something, or opens a websocket, which the same-origin policy does not hold.
func acts(r *http.Request) bool { return unsafe(r) || r.Header.Get("Upgrade") != "" }

// cookieCounts reports whether a cookie can only have been sent along by a page of ours: what acts must have our Origin,
// what looks must have no other. Where a browser says the site that a request comes from, it must be this one.
func cookieCounts(r *http.Request) bool {
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "same-origin", "none":
	default:
		return false
	}
	return sameOrigin(r) && (!acts(r) || len(r.Header.Values("Origin")) == 1)
}

// sameOrigin reports whether every Origin there is names the host the request is sent to. A script sends none.
func sameOrigin(r *http.Request) bool {
	for _, o := range r.Header.Values("Origin") {
		if !strings.EqualFold(o, scheme(r)+"://"+r.Host) {
			return false
		}
	}
	return true
}

func scheme(r *http.Request) string {
	if r.TLS != nil {
		return "https"
	}
	return "http"
}

func isJSON(h http.Header) bool {
	if len(h.Values("Content-Type")) != 1 {
		return false
	}
	kind, params, err := mime.ParseMediaType(h.Get("Content-Type"))
	charset, named := params["charset"]
	return err == nil && kind == "application/json" && (!named || strings.EqualFold(charset, "utf-8"))
}

// tokenInAddress finds a key where logs and histories would keep it.
func tokenInAddress(query string) bool {
	values, _ := url.ParseQuery(query) // what cannot be parsed is refused by the route
	for name := range values {
		switch strings.ToLower(name) {
		case "token", "access_token", "bearer", "authorization", "key", "code":
			return true
		}
	}
	return false
}

// ours reports whether the Host of a request is a loopback address, the address at which its connection came in, or a
// name of ours. The first of these follows every change of address by itself. The port does not matter: a forwarded one
// differs, and a page of others cannot bind a name of ours to any.
func (g *Guard) ours(r *http.Request) bool {
	name, bracketed, ok := hostOf(r.Host)
	if !ok {
		return false
	}
	if addr, err := netip.ParseAddr(name); err == nil {
		// A bare IPv6 address without brackets is no Host (RFC 3986 3.2.2).
		return addr.Zone() == "" && addr.Is4() != bracketed && g.ourAddress(r, addr.Unmap())
	}
	if bracketed {
		return false
	}
	return strings.EqualFold(name, "localhost") || slices.ContainsFunc(g.Names, func(n string) bool { return strings.EqualFold(name, n) })
}

// hostOf takes a Host header apart.
func hostOf(host string) (name string, bracketed, ok bool) {
	bracketed = strings.HasPrefix(host, "[")
	if n, port, err := net.SplitHostPort(host); err == nil {
		p, err := strconv.ParseUint(port, 10, 16)
		return n, bracketed, err == nil && p != 0
	}
	if bracketed {
		name, ok = strings.CutSuffix(host[1:], "]")
		return name, true, ok
	}
	return host, false, !strings.Contains(host, ":")
}

func (g *Guard) ourAddress(r *http.Request, addr netip.Addr) bool {
	return addr.IsLoopback() || addr == localAddress(r) || slices.Contains(g.addrs, addr)
}

// localAddress is where the connection of a request came in.
func localAddress(r *http.Request) netip.Addr {
	a, ok := r.Context().Value(http.LocalAddrContextKey).(net.Addr)
	if !ok {
		return netip.Addr{}
	}
	return addressOf(a)
}

// addressOf is the IP address of a network address, without a zone; the zero one where it has none.
func addressOf(a net.Addr) netip.Addr {
	ap, err := netip.ParseAddrPort(a.String())
	if err != nil {
		return netip.Addr{}
	}
	return ap.Addr().Unmap().WithZone("")
}
