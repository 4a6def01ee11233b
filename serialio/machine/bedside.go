package machine

import (
	"context"
	"time"

	"fettle/serialio/gcode"
)

// A bedside watches the bed for as long as something is done: against our own target where one is in force, by a watch that
// begins anew when that changes.
type bedside struct {
	m     *Machine
	watch *bedWatch
}

// see shows a report to the watch. again says that the target is to be sent once more.
func (b *bedside) see(asked, now time.Duration, t gcode.Temperatures) (again bool, err error) {
	targetC, _ := b.m.bedAim.celsius()
	if b.watch == nil || b.watch.targetC != targetC {
		before := b.watch
		b.watch = newBedWatch(targetC, b.m.held())
		b.watch.right = before == nil // it stood before: a target gone is not set again
	}
	return b.watch.see(asked, now, t)
}

// anew begins anew, behind a time in which nobody looked.
func (b *bedside) anew() { b.watch = nil }

// sendAgain sends a target that did not arrive, unless it has been overruled meanwhile: a stop is not to be undone.
func (b *bedside) sendAgain(ctx context.Context) error {
	if targetC, known := b.m.bedAim.celsius(); !known || targetC != b.watch.targetC {
		return nil
	}
	return b.m.do(ctx, "M140", 'S', b.watch.targetC)
}
