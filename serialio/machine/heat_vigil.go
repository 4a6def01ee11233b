package machine

import (
	"context"
	"time"
)

// A Vigil watches heat that nobody waits for: while a question stands and nozzle or bed is hot. It is not safe for use by
// several goroutines.
type Vigil struct {
	m     *Machine
	watch *watch // nil: no heat of ours in the nozzle
	bed   *bedside
	now   func() time.Duration
}

// Vigil begins one. It asks nothing by itself.
func (m *Machine) Vigil() *Vigil { return &Vigil{m: m, bed: &bedside{m: m}, now: m.clock()} }

// Look asks for the temperatures (M105) and judges them by what was seen before, as a wait and a feed do: it is to be
// called about once a second. Where the printer holds another target, ours is sent once more, but never where it holds
// none: somebody may have switched it off. It returns a *HeatError for what watch.go and bed_watch.go
// forbid; heat is then still on, and whoever called sends the stop. Where no heat of ours is on it holds only the
// bed to its limit. A single answer without a temperature is no error.
func (v *Vigil) Look(ctx context.Context) error {
	targetC, known := v.m.aim.celsius()
	switch {
	case !known || targetC == 0:
		v.watch = nil
	case v.watch == nil || v.watch.targetC != targetC:
		v.watch = v.m.feedWatch(v.m.held())
		v.watch.heard = v.now()
	}
	return v.m.watched(ctx, v.watch, v.bed, v.now)
}
