package main

import (
	"context"

	"fettle/api"
	"fettle/serialio/port"
	"fettle/web"
)

// server makes the API behind its door. look is what a person would see on a stand-in printer; nil outside the demo.
func (h *house) server(d *doorway, look func(ctx context.Context, gauge string) (any, error), extra ...string) *api.Server {
	return api.New(api.Config{Version: version(), Runner: h.runner, Book: h.book, Ports: ports{extra}, Routines: registry,
		Pages: web.Pages(), Guard: d.guard, TLS: d.tls, Fingerprint: d.fingerprint, Log: h.log, Look: look})
}

// ports lists what is plugged in, and the names that the demo adds.
type ports struct{ extra []string }

func (p ports) List(ctx context.Context) ([]api.Port, error) {
	found, err := port.List(ctx, p.extra...)
	out := make([]api.Port, len(found))
	for i, f := range found {
		out[i] = api.Port(f)
	}
	return out, err
}
