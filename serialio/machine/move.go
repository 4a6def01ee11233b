package machine

import (
	"context"
	"fmt"
	"math"
	"strings"

	"fettle/serialio/gcode"
)

// longestMoveS is how long a typed move, or one of a program, may take: a stop cannot call back a move that has begun.
const longestMoveS = 10

// modes is how a person wants typed moves to be read. A printer's own modes are not relied upon.
type modes struct{ axesRelative, feedRelative bool }

func (s modes) axes() gcode.Block {
	if s.axesRelative {
		return block("G91")
	}
	return block("G90")
}

func (s modes) feed() gcode.Block {
	if s.feedRelative {
		return block("M83")
	}
	return block("M82")
}

// readyMove holds a typed move to the limits, and then sends the modes in which it is meant. The axes' mode goes first:
// some firmware lets it overrule the mode of the feed.
func (m *Machine) readyMove(ctx context.Context, b gcode.Block, l Limits) error {
	mmPerMin, ok := b.Value('F')
	if !ok {
		return &RefusedError{name(b), "what speed holds now is not known", "the same with F, in mm/min"}
	}
	s := m.typedModes()
	if !s.axesRelative { // what can be refused without asking is
		if _, err := wayWithin(b, place{}, s, l); err != nil {
			return err
		}
	}
	for _, ready := range []gcode.Block{block("G21"), block("M400")} { // at rest, or the position is of a moment ago
		if _, err := m.send(ctx, ready); err != nil {
			return err
		}
	}
	at, err := m.where(ctx)
	if err != nil {
		return err
	}
	if err := holdMove(b, mmPerMin/60, at, s, l); err != nil {
		return err
	}
	for _, mode := range []gcode.Block{s.axes(), s.feed()} {
		if _, err := m.send(ctx, mode); err != nil {
			return err
		}
	}
	return nil
}

func (m *Machine) typedModes() modes {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.modes
}

// holdMove holds a move from at to the build volume, the filament speed and the longest time. It is pure.
func holdMove(b gcode.Block, speedMMPerS float64, at place, s modes, l Limits) error {
	word := name(b)
	if !at.known || !at.hasE {
		return &RefusedError{word, "the printer does not say where it is", "moves at the printer's own panel"}
	}
	wayMM, err := wayWithin(b, at, s, l)
	if err != nil {
		return err
	}
	feedMM, feeds := b.Value('E')
	if feeds && !s.feedRelative {
		feedMM -= at.E
	}
	lasts := math.Max(wayMM, 0) / speedMMPerS
	if wayMM == 0 {
		lasts = math.Abs(feedMM) / speedMMPerS
	}
	if feeds && feedMM != 0 {
		if err := l.feed(word, math.Abs(feedMM)/lasts); err != nil {
			return err
		}
	}
	return shortEnough(word, lasts)
}

// shortEnough holds a move that lasts so many seconds to the longest there may be.
func shortEnough(word string, lastsS float64) error {
	if lastsS <= longestMoveS*(1+1e-9) {
		return nil
	}
	return &RefusedError{word, fmt.Sprintf("it would take %.0f s, and no stop calls it back", lastsS), fmt.Sprintf("moves of at most %d s", longestMoveS)}
}

// wayWithin is the length of the way of the axes, mm. Their goal must be within the build volume.
func wayWithin(b gcode.Block, at place, s modes, l Limits) (float64, error) {
	word, sum := name(b), 0.0
	from := [3]float64{at.X, at.Y, at.Z}
	for i, axis := range "XYZ" {
		goal, ok := b.Value(byte(axis))
		if !ok {
			continue
		}
		if s.axesRelative {
			goal += from[i]
		}
		if !(l.BuildMM[i] > 0) {
			return 0, &RefusedError{word, "no setup says how large the printer is", "a setup first"}
		}
		if !(goal >= 0 && goal <= l.BuildMM[i]) {
			return 0, &RefusedError{word, fmt.Sprintf("%c would go to %g mm, outside the build volume", axis, goal), within(l)}
		}
		sum += (goal - from[i]) * (goal - from[i])
	}
	return math.Sqrt(sum), nil
}

func within(l Limits) string {
	forms := make([]string, 3)
	for i, axis := range "XYZ" {
		forms[i] = fmt.Sprintf("%c 0 to %g mm", axis, l.BuildMM[i])
	}
	return strings.Join(forms, ", ")
}
