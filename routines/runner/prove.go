package runner

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strconv"

	"fettle/routines"
	"fettle/serialio/gcode"
)

// settingText prints a setting. No firmware keeps more than four decimals.
func settingText(v float64) string {
	return strconv.FormatFloat(math.Round(v*10_000)/10_000, 'f', -1, 64)
}

// set sends the goals at a value.
func (w *write) set(ctx context.Context, value func(goal) float64) error {
	return w.bench.setAll(ctx, w.words(value))
}

// prove writes the values, reads them back, stores them, loads them and reads them again. Before they are loaded the old
// values are set: only what comes out of the store can bring the new ones back.
func (w *write) prove(ctx context.Context) (routines.Written, error) {
	m := w.bench.machine
	if err := w.set(ctx, goal.new); err != nil && !isFirmware(err) {
		return routines.Written{}, fmt.Errorf("set %s: %w", w.noun, err)
	}
	if now, err := w.read(ctx); err != nil {
		return routines.Written{}, err
	} else if g, _, off := w.off(now, goal.new); off {
		return w.notTaken(ctx, g, now)
	}
	saved := m.Save(ctx)
	if saved != nil && !isFirmware(saved) {
		return routines.Written{}, fmt.Errorf("store: %w", saved)
	}
	if saved != nil {
		return w.notStored(ctx, saved)
	}
	if err := w.set(ctx, goal.old); err != nil {
		return routines.Written{}, fmt.Errorf("set the old %s before loading: %w", w.noun, err)
	}
	loaded := m.Load(ctx)
	if loaded != nil && !isFirmware(loaded) {
		return routines.Written{}, fmt.Errorf("load again: %w", loaded)
	}
	if loaded != nil {
		return w.inUse(ctx, routines.WrittenNotVerified, "the printer stored it, and loads nothing to prove it by", loaded)
	}
	return w.judge(ctx)
}

// notTaken is a printer that reports another value than the one it was given: whatever it made of it is put back.
func (w *write) notTaken(ctx context.Context, refused goal, now gcode.Settings) (routines.Written, error) {
	out := routines.Written{Standing: routines.NotWritten, Value: w.now(now), Why: "the printer does not take " + refused.word}
	if _, _, off := w.off(now, goal.old); !off {
		return out, nil
	}
	if err := w.set(ctx, goal.old); err != nil {
		return out, fmt.Errorf("put the old %s back: %w", w.noun, err)
	}
	now, err := w.read(ctx)
	out.Value = w.now(now)
	return out, err
}

func (w *write) read(ctx context.Context) (gcode.Settings, error) {
	settings, err := w.bench.machine.Settings(ctx)
	if err != nil {
		return gcode.Settings{}, fmt.Errorf("read back: %w", err)
	}
	return settings, nil
}

// judge reads the settings after they were loaded again: only the goals may differ from before.
func (w *write) judge(ctx context.Context) (routines.Written, error) {
	after, err := w.bench.machine.Settings(ctx)
	if err != nil {
		return routines.Written{}, fmt.Errorf("read back after loading: %w", err)
	}
	if _, _, off := w.off(after, goal.new); off {
		return w.notStored(ctx, nil)
	}
	for _, d := range after.Diff(w.before) {
		if !w.meant(d) {
			return w.undo(ctx, d)
		}
	}
	return routines.Written{Standing: routines.Verified, Value: w.now(after)}, nil
}

// meant reports whether a difference is of a goal.
func (w *write) meant(d gcode.Difference) bool {
	for _, g := range w.goals {
		if d.Word == g.word && d.Letter == string(rune(g.letter)) {
			return true
		}
	}
	return false
}

// notStored leaves the value in use: it holds until the printer restarts.
func (w *write) notStored(ctx context.Context, said error) (routines.Written, error) {
	return w.inUse(ctx, routines.NotStored, "the printer stores nothing: the value holds until it restarts", said)
}

// inUse leaves the value in use, however it stands in the store.
func (w *write) inUse(ctx context.Context, standing, why string, said error) (routines.Written, error) {
	if err := w.set(ctx, goal.new); err != nil {
		return routines.Written{}, fmt.Errorf("set %s again: %w", w.noun, err)
	}
	now, err := w.read(ctx)
	out := routines.Written{Standing: standing, Value: w.now(now), Why: why}
	if said != nil {
		out.Said = said.Error()
	}
	return out, err
}

// undo puts the old value back where something else changed with the write, and says so.
func (w *write) undo(ctx context.Context, d gcode.Difference) (routines.Written, error) {
	b := w.bench
	err := errors.Join(b.setAll(ctx, settable(w.before)), w.set(ctx, goal.old), b.machine.Save(ctx))
	if err != nil {
		return routines.Written{}, fmt.Errorf("undo: %w", err)
	}
	now, err := w.read(ctx)
	return routines.Written{Standing: routines.NotWritten, Value: w.now(now),
		Why: fmt.Sprintf("%s %s changed with it, so the old value was put back", d.Word, d.Letter)}, err
}
