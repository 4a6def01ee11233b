package api

import (
	"fmt"
	"mime"
	"net"
	"net/http"
	"net/netip"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"time"

	"fettle/api/live"
)

// Handler is the whole API: what every request must pass first, then the routes.
func (s *Server) Handler() http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		secure(w.Header())
		if !s.gate.enter() {
			s.refuse(w, r, errStopping)
			return
		}
		defer s.gate.leave()
		defer s.catch(w, r)
		if r.ContentLength != 0 {
			// Also for a body that nobody reads: net/http reads it before it answers. Not every connection has a deadline.
			_ = http.NewResponseController(w).SetReadDeadline(time.Now().Add(bodyTimeout))
		}
		if err := s.admit(r); err != nil {
			s.refuse(w, r, err)
			return
		}
		if s.Pages != nil && !ours(r.URL.Path) {
			s.Pages.ServeHTTP(w, r)
			return
		}
		w.Header().Set("Cache-Control", "no-store")
		s.echo.ServeHTTP(w, r)
	})
}

func ours(path string) bool {
	return path == "/v1" || strings.HasPrefix(path, "/v1/") || strings.HasPrefix(path, problemPath)
}

// policy lets a page load what comes from here and nothing else (CSP level 3).
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data:; " +
	"manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

func secure(h http.Header) {
	h.Set("Content-Security-Policy", policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
}

// catch turns a panic into an answer and a line in the log.
func (s *Server) catch(w http.ResponseWriter, r *http.Request) {
	p := recover()
	if p == nil {
		return
	}
	if p == http.ErrAbortHandler {
		panic(p) // net/http's own way to cut a response off
	}
	s.Log.Error("panic in a request", "method", r.Method, "path", r.URL.Path, "panic", fmt.Sprint(p), "stack", string(debug.Stack()))
	s.refuse(w, r, errInternal)
}

// admit holds a request to where it is sent and where it comes from: a name of ours against DNS rebinding, an origin of
// ours against pages of others, JSON alone against their forms.
func (s *Server) admit(r *http.Request) error {
	if !s.isOurs(r.Host) {
		return errForeignHost
	}
	unsafe := r.Method != http.MethodGet && r.Method != http.MethodHead && r.Method != http.MethodOptions
	if unsafe || live.Asked(r) {
		if http.NewCrossOriginProtection().Check(r) != nil || !sameOrigin(r) {
			return errForeignOrigin
		}
	}
	if unsafe && r.ContentLength != 0 && !isJSON(r.Header) {
		return errNotJSON
	}
	return nil
}

// isOurs reports whether host, as a request's Host header has it, is a loopback address or a name of ours. The port does
// not matter: a forwarded one differs, and a page of others cannot bind a name of ours to any.
func (s *Server) isOurs(host string) bool {
	name := host
	if n, port, err := net.SplitHostPort(host); err == nil {
		if p, err := strconv.ParseUint(port, 10, 16); err != nil || p == 0 {
			return false
		}
		name = n
	} else if in, ok := strings.CutPrefix(host, "["); ok {
		if name, ok = strings.CutSuffix(in, "]"); !ok {
			return false
		}
	} else if strings.Contains(host, ":") {
		return false
	}
	if addr, err := netip.ParseAddr(name); err == nil {
		// A bare IPv6 address without brackets is no Host (RFC 3986 3.2.2).
		return addr.IsLoopback() && addr.Zone() == "" && addr.Is4() != strings.HasPrefix(host, "[")
	}
	if strings.HasPrefix(host, "[") {
		return false
	}
	return strings.EqualFold(name, "localhost") || slices.ContainsFunc(s.Hosts, func(h string) bool { return strings.EqualFold(name, h) })
}

// sameOrigin reports whether every Origin there is names the host the request is sent to. A script sends none.
func sameOrigin(r *http.Request) bool {
	scheme := "http://"
	if r.TLS != nil {
		scheme = "https://"
	}
	for _, o := range r.Header.Values("Origin") {
		if !strings.EqualFold(o, scheme+r.Host) {
			return false
		}
	}
	return true
}

func isJSON(h http.Header) bool {
	if len(h.Values("Content-Type")) != 1 {
		return false
	}
	kind, params, err := mime.ParseMediaType(h.Get("Content-Type"))
	charset, named := params["charset"]
	return err == nil && kind == "application/json" && (!named || strings.EqualFold(charset, "utf-8"))
}
