package machine

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"fettle/serialio/gcode"
)

// Bounds of one feed.
const (
	maxFeedMM        = 2000 // more than any mark is away
	minFeedMMPerS    = 0.05 // slower pieces would be of the size they are rounded to
	positionWithinMM = 0.01
)

// ErrColdPrevented says that the firmware moved nothing because the nozzle is too cold for it, although it said ok.
var ErrColdPrevented = errors.New("cold extrusion prevented: nothing was fed")

// ErrNotFed says that the printer's own position is not where the feed should have ended.
var ErrNotFed = errors.New("the printer's position does not agree with what was fed")

// Feed pushes lengthMM of filament at speedMMPerS, by the steps/mm now in force, from a fresh zero and in absolute
// pieces of at most 2 s with at most 4 s of them ahead, so that a stop is never behind anything long. It returns when
// the moves have ended. progress, if not nil, is told about how much has gone in. Meanwhile heat is watched.
// It returns what was commanded, mm, and what the firmware said of its own accord. Errors: *RefusedError, *HeatError,
// ErrColdPrevented, ErrNotFed, and those of the line. After any of them whoever called sends the stop.
func (m *Machine) Feed(ctx context.Context, lengthMM, speedMMPerS float64, progress func(fedMM float64)) (commandedMM float64, remarks []string, err error) {
	limits := m.held()
	lengthMM = round(lengthMM, 3)
	if err := feedAllowed(limits, lengthMM, speedMMPerS); err != nil {
		return 0, nil, err
	}
	if progress == nil {
		progress = func(float64) {}
	}
	ctx, end := m.untilStopped(ctx)
	defer end()
	from := lastOf(m.line.Wire())
	mmPerMin := math.Floor(speedMMPerS*60*100+1e-6) / 100 // two decimals, never faster than asked for
	f := &feed{m: m, lengthMM: lengthMM, mmPerMin: mmPerMin, speedMMPerS: mmPerMin / 60, progress: progress, watch: m.feedWatch(limits), bed: &bedside{m: m}, now: m.clock()}
	err = f.run(ctx)
	if f.remarks.keep(said(m.line.Wire(), from)); err == nil && f.remarks.cold {
		err = ErrColdPrevented
	}
	return f.doneMM, f.remarks.list, err
}

func feedAllowed(l Limits, lengthMM, speedMMPerS float64) error {
	if !(lengthMM > 0 && lengthMM <= maxFeedMM) {
		return &RefusedError{"G1", fmt.Sprintf("%g mm is no length to feed", lengthMM), fmt.Sprintf("above 0 to %d mm", maxFeedMM)}
	}
	if !(speedMMPerS >= minFeedMMPerS) {
		return &RefusedError{"G1", fmt.Sprintf("%g mm/s is no speed to feed at", speedMMPerS), fmt.Sprintf("at least %g mm/s", minFeedMMPerS)}
	}
	return l.feed("G1", speedMMPerS)
}

// feedWatch watches the nozzle during a feed: against our own target where we have set one.
func (m *Machine) feedWatch(l Limits) *watch {
	target, known := m.aim.celsius()
	w := newWatch(target, l)
	w.aimed, w.right, w.risen = known, true, true // it was hot before: a target gone is not set again
	return w
}

// A feed is one under way.
type feed struct {
	m                     *Machine
	lengthMM, speedMMPerS float64
	mmPerMin              float64 // the same speed, as F says it
	progress              func(float64)
	watch                 *watch
	bed                   *bedside
	now                   func() time.Duration
	pace                  pace
	doneMM                float64 // commanded so far
	remarks               remarks
}

func (f *feed) run(ctx context.Context) error {
	if err := f.begin(ctx); err != nil {
		return err
	}
	pieces := int(math.Ceil(f.lengthMM / (f.speedMMPerS * pieceFor.Seconds())))
	for i := 1; i <= pieces; i++ {
		toMM := round(f.lengthMM*float64(i)/float64(pieces), 3)
		if err := f.piece(ctx, toMM); err != nil {
			return err
		}
	}
	return f.end(ctx)
}

// begin sets what the moves rely on: millimetres, absolute E, and a zero of this feed's own, so that one damaged move
// does not shift the rest.
func (f *feed) begin(ctx context.Context) error {
	for _, b := range []gcode.Block{block("G21"), block("M82"), block("G92", 'E', 0.0)} {
		if _, err := f.m.send(ctx, b); err != nil {
			return err
		}
	}
	return nil
}

// piece waits until there is room for the next piece and sends it.
func (f *feed) piece(ctx context.Context, toMM float64) error {
	lasts := time.Duration((toMM - f.doneMM) / f.speedMMPerS * float64(time.Second))
	if err := f.room(ctx, lasts); err != nil {
		return err
	}
	b := block("G1", 'E', toMM, 'F', f.mmPerMin)
	if err := f.say(ctx, b); err != nil {
		return err
	}
	f.pace.queued(f.now(), lasts)
	f.doneMM = toMM
	return nil
}

// room looks at the heat, and again each second until a piece of that length in time may be sent.
func (f *feed) room(ctx context.Context, lasts time.Duration) error {
	for {
		if err := f.m.watched(ctx, f.watch, f.bed, f.now); err != nil {
			return err
		}
		f.progress(f.fedMM())
		wait := f.pace.wait(f.now(), lasts)
		if err := f.m.pause(ctx, min(wait, pollEvery)); err != nil {
			return err
		}
		if wait <= pollEvery {
			return nil
		}
	}
}

// fedMM is about how much has gone in: what was commanded less what is still ahead.
func (f *feed) fedMM() float64 {
	return max(0, f.doneMM-f.pace.aheadOf(f.now()).Seconds()*f.speedMMPerS)
}

// say sends a block and keeps what the firmware remarks about it.
func (f *feed) say(ctx context.Context, b gcode.Block) error {
	reply, err := f.m.send(ctx, b)
	if f.remarks.keep(reply.Lines); f.remarks.cold {
		return errors.Join(ErrColdPrevented, err)
	}
	return err
}

// end waits for the moves to end: the ok of M400 says so. Then the printer is asked where it is.
func (f *feed) end(ctx context.Context) error {
	if err := f.say(ctx, block("M400")); err != nil {
		return err
	}
	f.progress(f.doneMM)
	at, err := f.m.where(ctx)
	if err != nil {
		return err
	}
	// Firmware prints two decimals, some only one, so half of the last one is allowed as well.
	if at.hasE && math.Abs(at.E-f.lengthMM) > positionWithinMM+at.halfStepE {
		return fmt.Errorf("%w: commanded %.3f mm, it says %.3f mm", ErrNotFed, f.lengthMM, at.E)
	}
	return nil
}
