package api

import (
	"fmt"
	"net/http"
	"runtime/debug"
	"strings"
	"time"

	"fettle/api/guard"
)

// Handler is the whole API: what every request must pass first, then the routes.
func (s *Server) Handler() http.Handler {
	door := s.Guard.Door(http.HandlerFunc(s.inside), s.refuse, s.atAnyRate)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.Guard.Secure(w.Header(), r)
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
		door.ServeHTTP(w, r)
	})
}

// inside serves a request that came through the door: a page, or a route that asks for its right.
func (s *Server) inside(w http.ResponseWriter, r *http.Request) {
	if s.Pages != nil && !ours(r.URL.Path) {
		s.Pages.ServeHTTP(w, r)
		return
	}
	w.Header().Set("Cache-Control", "no-store")
	if r.Method == http.MethodOptions { // the router answers it from its table
		if err := s.Guard.Allow(r, guard.Watch); err != nil {
			s.refuse(w, r, err)
			return
		}
	}
	s.echo.ServeHTTP(w, r)
}

func ours(path string) bool {
	return path == "/v1" || strings.HasPrefix(path, "/v1/") || strings.HasPrefix(path, problemPath)
}

// atAnyRate reports whether a request may come as fast as it likes: a stop, or a file of the pages, which is in memory
// and comes by the hundred whenever somebody reloads twice.
func (s *Server) atAnyRate(r *http.Request) bool {
	return stops(r) || s.Pages != nil && !ours(r.URL.Path)
}

// stops reports whether a request is a stop.
func stops(r *http.Request) bool {
	return r.Method == http.MethodPost && strings.HasPrefix(r.URL.Path, "/v1/printers/") &&
		(strings.HasSuffix(r.URL.Path, "/stop") || strings.HasSuffix(r.URL.Path, "/halt"))
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
