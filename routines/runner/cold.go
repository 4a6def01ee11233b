package runner

import (
	"context"
	"errors"
	"fmt"
	"time"

	"fettle/routines"
	"fettle/serialio/machine"
)

// coldPoll is how often a nozzle that cools is asked how warm it is, and coldTwice how many readings in a row must say so: one
// lost byte makes a hot nozzle read cold.
const (
	coldPoll  = 2 * time.Second
	coldTwice = 2
)

// FeedCold lifts the block of cold extrusion last before a feed, and sets it again behind it. It is owed from before the word
// that lifts it, and so comes back whatever ends the run. A firmware that does not know the word keeps its block, and the
// feed is found prevented. It is set again by switching it on: at what temperature it blocks was never changed.
func (h *hand) FeedCold(ctx context.Context, lengthMM, speedMMPerS float64) (routines.FeedDone, error) {
	b := h.run.bench
	if h.run.hot {
		return routines.FeedDone{}, errors.New("feed cold: a heater of ours is on")
	}
	if err := b.owe(ctx, coldBlock, "", "M302 P0"); err != nil {
		return routines.FeedDone{}, err
	}
	if err := h.machine().Set(ctx, "M302 P1"); err != nil && !isFirmware(err) {
		return routines.FeedDone{}, fmt.Errorf("lift the block of cold extrusion: %w", err)
	}
	done, err := h.Feed(ctx, lengthMM, speedMMPerS)
	if err != nil {
		return done, err // what is owed is given back with the end of the run
	}
	return done, b.pay(ctx, coldBlock)
}

// AwaitCool waits until the nozzle reads below a temperature, °C, twice in a row.
func (h *hand) AwaitCool(ctx context.Context, belowC float64) error {
	defer h.run.at(nil)
	for below := 0; ; {
		t, err := h.machine().Poll(ctx)
		switch {
		case err != nil && !errors.Is(err, machine.ErrNoReading):
			return fmt.Errorf("wait until it is below %.0f °C: %w", belowC, err)
		case err == nil && t.HasNozzle && t.NozzleC < belowC:
			below++
		default:
			below = 0
		}
		if below == coldTwice {
			return nil
		}
		h.run.at(&Doing{What: "cooling", TargetC: belowC})
		select {
		case <-ctx.Done():
			return fmt.Errorf("wait until it is below %.0f °C: %w", belowC, context.Cause(ctx))
		case <-time.After(coldPoll):
		}
	}
}
