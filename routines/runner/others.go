package runner

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"fettle/serialio"
)

// someoneElse says what was read where a printer is hot or moving and we did not make it so. Empty where it is free.
func (b *bench) someoneElse(ctx context.Context) string {
	s := b.machine.Snapshot()
	if s.State != serialio.Listening || b.run.Load() != nil || b.another() != nil {
		return ""
	}
	if (s.Temps.NozzleTargetC > 0 || s.Temps.BedTargetC > 0) && !b.owes(ctx, heat) {
		return fmt.Sprintf("its nozzle is asked for %.0f °C and its bed for %.0f °C, and not by us", s.Temps.NozzleTargetC, s.Temps.BedTargetC)
	}
	if b.moving.Load() {
		return "its axes move, and not by us"
	}
	return ""
}

// motionLook is how far apart two positions are asked for, to see whether axes move.
const motionLook = time.Second

// lookForMotion asks twice where the printer is, unless a run of ours holds it.
func (b *bench) lookForMotion(ctx context.Context) {
	if b.run.Load() != nil {
		b.moving.Store(false)
		return
	}
	first, err := b.whereabouts(ctx)
	if err != nil {
		return
	}
	select {
	case <-ctx.Done():
		return
	case <-time.After(motionLook):
	}
	if second, err := b.whereabouts(ctx); err == nil {
		b.moving.Store(!slices.Equal(first, second))
	}
}

// whereabouts is what the printer says of its position, the motors' own count included: the rest is where its queue will
// end, which stands still while a long move is under way.
func (b *bench) whereabouts(ctx context.Context) ([]string, error) {
	said, err := b.machine.Single(ctx, "M114", false)
	if err != nil {
		return nil, fmt.Errorf("ask for the position: %w", err)
	}
	return slices.DeleteFunc(said, func(line string) bool { return !strings.Contains(line, "X:") }), nil
}
