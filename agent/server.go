package main

import (
	"context"

	"fettle/api"
	"fettle/web"
)

// server makes the API behind its door. look is what a person would see on a stand-in printer; nil outside the demo.
func (h *house) server(d *doorway, look func(ctx context.Context, at api.Looking) (any, error), extra ...string) *api.Server {
	h.ports.extra = extra
	return api.New(api.Config{Version: version(), Runner: h.runner, Book: h.book, Ports: &h.ports, Routines: registry,
		Pages: web.Pages(), Guard: d.guard, TLS: d.tls, Fingerprint: d.fingerprint, Log: h.log, Look: look})
}
