package main

import (
	"context"
	"sync/atomic"

	"fettle/api"
	"fettle/serialio/port"
	"fettle/serialio/pulse"
)

// ports lists what is plugged in, and the names that the demo adds, and tells when that changes.
type ports struct {
	pulse.Pulse
	extra   []string
	changes atomic.Int64
}

// follow tells of changes until ctx ends.
func (p *ports) follow(ctx context.Context) error {
	return port.Follow(ctx, func([]port.Found) {
		p.changes.Add(1)
		p.Beat()
	}, p.extra...)
}

// Changed returns a channel that is closed when a port is plugged in or vanishes next.
func (p *ports) Changed() <-chan struct{} { return p.Wait() }

// List is what is plugged in now.
func (p *ports) List(ctx context.Context) (api.Plugged, error) {
	now := api.Plugged{Changes: p.changes.Load()} // taken before looking, so that no change is missed
	found, err := port.List(ctx, p.extra...)
	for _, f := range found {
		now.Ports = append(now.Ports, api.Port(f))
	}
	return now, err
}
