package runner

import (
	"context"
	"errors"
	"fmt"
	"strconv"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/serialio/gcode"
	"fettle/serialio/machine"
)

// WriteSteps sets steps/mm, stores it and proves it. keep names what is in use and must not be stored with it.
func (h *hand) WriteSteps(ctx context.Context, from, to float64, keep []gcode.Difference) (routines.Written, error) {
	w := &write{hand: h, from: from, to: to, keep: keep}
	h.run.at(&Doing{What: "writing steps/mm"})
	defer h.run.at(nil)
	if refused, err := w.check(ctx); refused != nil || err != nil {
		return w.outcome(refused), err
	}
	if err := w.bench().owe(ctx, steps, word(to), word(from)); err != nil {
		return routines.Written{}, err
	}
	done, err := w.prove(ctx)
	if err != nil {
		return routines.Written{}, err
	}
	if err := w.setKept(ctx); err != nil {
		return routines.Written{}, err
	}
	return done, w.bench().paid(ctx, steps, logbook.Step{})
}

// write is one writing of steps/mm under way.
type write struct {
	*hand
	from, to float64
	keep     []gcode.Difference
	before   gcode.Settings // as stored will be, but for the one value
}

func (w *write) bench() *bench { return w.run.bench }

func (w *write) outcome(refused *routines.Written) routines.Written {
	if refused == nil {
		return routines.Written{}
	}
	return *refused
}

func word(stepsPerMM float64) string {
	return "M92 E" + strconv.FormatFloat(stepsPerMM, 'f', -1, 64)
}

// check holds that the printer still has the value the measurement was made with, and lays down what must not be stored.
func (w *write) check(ctx context.Context) (*routines.Written, error) {
	settings, err := w.machine().Settings(ctx)
	if err != nil {
		return nil, fmt.Errorf("read the settings: %w", err)
	}
	now, ok := settings.StepsPerMM(0)
	if !ok {
		return &routines.Written{Standing: routines.NotWritten, Why: "the printer reports no steps/mm"}, nil
	}
	if !same(now, w.from) {
		return &routines.Written{Standing: routines.NotWritten, Value: now,
			Why: fmt.Sprintf("the printer holds %g steps/mm now, and the measurement was made with %g", now, w.from)}, nil
	}
	w.before = settings
	if len(w.keep) == 0 {
		return nil, nil
	}
	if err := w.bench().owe(ctx, inUse, "", lines(w.keep)...); err != nil {
		return nil, err
	}
	if err := w.machine().Load(ctx); err != nil {
		return nil, fmt.Errorf("load the stored settings: %w", err)
	}
	if w.before, err = w.machine().Settings(ctx); err != nil {
		return nil, fmt.Errorf("read the stored settings: %w", err)
	}
	return nil, nil
}

// lines are the words that set again what was in use. What no word of ours may set was lost when the stored settings were
// loaded to compare them.
func lines(keep []gcode.Difference) []string {
	var out []string
	for _, d := range keep {
		if d.InUse == nil {
			continue
		}
		tool := ""
		if d.Tool >= 0 {
			tool = fmt.Sprintf(" T%d", d.Tool)
		}
		if line := d.Word + tool + " " + d.Letter + strconv.FormatFloat(*d.InUse, 'f', -1, 64); machine.Settable(line) {
			out = append(out, line)
		}
	}
	return out
}

// prove writes the value, reads it back, stores it, loads it and reads it again. Before it is loaded the old value is set:
// only what comes out of the store can bring the new one back.
func (w *write) prove(ctx context.Context) (routines.Written, error) {
	m := w.machine()
	if err := m.SetStepsPerMM(ctx, w.to); err != nil && !isFirmware(err) {
		return routines.Written{}, fmt.Errorf("set steps/mm: %w", err)
	}
	if now, err := w.read(ctx); err != nil {
		return routines.Written{}, err
	} else if !same(now, w.to) {
		return w.notTaken(ctx, now)
	}
	saved := m.Save(ctx)
	if saved != nil && !isFirmware(saved) {
		return routines.Written{}, fmt.Errorf("store: %w", saved)
	}
	if saved != nil {
		return w.notStored(ctx, saved)
	}
	if err := m.SetStepsPerMM(ctx, w.from); err != nil {
		return routines.Written{}, fmt.Errorf("set the old steps/mm before loading: %w", err)
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
func (w *write) notTaken(ctx context.Context, now float64) (routines.Written, error) {
	out := routines.Written{Standing: routines.NotWritten, Value: now, Why: "the printer does not take M92"}
	if same(now, w.from) {
		return out, nil
	}
	if err := w.machine().SetStepsPerMM(ctx, w.from); err != nil {
		return out, fmt.Errorf("put the old steps/mm back: %w", err)
	}
	var err error
	out.Value, err = w.read(ctx)
	return out, err
}

func (w *write) read(ctx context.Context) (float64, error) {
	settings, err := w.machine().Settings(ctx)
	if err != nil {
		return 0, fmt.Errorf("read back: %w", err)
	}
	now, _ := settings.StepsPerMM(0)
	return now, nil
}

// judge reads the settings after they were loaded again: only steps/mm may differ from before.
func (w *write) judge(ctx context.Context) (routines.Written, error) {
	after, err := w.machine().Settings(ctx)
	if err != nil {
		return routines.Written{}, fmt.Errorf("read back after loading: %w", err)
	}
	now, _ := after.StepsPerMM(0)
	if !same(now, w.to) {
		return w.notStored(ctx, nil)
	}
	for _, d := range after.Diff(w.before) {
		if d.Word != "M92" || d.Letter != "E" {
			return w.undo(ctx, d)
		}
	}
	return routines.Written{Standing: routines.Verified, Value: now}, nil
}

// notStored leaves the value in use: it holds until the printer restarts.
func (w *write) notStored(ctx context.Context, said error) (routines.Written, error) {
	return w.inUse(ctx, routines.NotStored, "the printer stores nothing: the value holds until it restarts", said)
}

// inUse leaves the value in use, however it stands in the store.
func (w *write) inUse(ctx context.Context, standing, why string, said error) (routines.Written, error) {
	if err := w.machine().SetStepsPerMM(ctx, w.to); err != nil {
		return routines.Written{}, fmt.Errorf("set steps/mm again: %w", err)
	}
	now, err := w.read(ctx)
	out := routines.Written{Standing: standing, Value: now, Why: why}
	if said != nil {
		out.Said = said.Error()
	}
	return out, err
}

// undo puts the old value back where something else changed with the write, and says so.
func (w *write) undo(ctx context.Context, d gcode.Difference) (routines.Written, error) {
	m := w.machine()
	err := errors.Join(w.bench().setAll(ctx, settable(w.before)), m.SetStepsPerMM(ctx, w.from), m.Save(ctx))
	if err != nil {
		return routines.Written{}, fmt.Errorf("undo: %w", err)
	}
	now, err := w.read(ctx)
	return routines.Written{Standing: routines.NotWritten, Value: now,
		Why: fmt.Sprintf("%s %s changed with it, so the old value was put back", d.Word, d.Letter)}, err
}

// setKept sets again what was in use and must not be stored.
func (w *write) setKept(ctx context.Context) error {
	if len(w.keep) == 0 {
		return nil
	}
	return w.bench().pay(ctx, inUse)
}
