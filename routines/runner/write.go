package runner

import (
	"context"
	"fmt"
	"strings"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/serialio/gcode"
	"fettle/serialio/machine"
)

// WriteSteps sets steps/mm, stores it and proves it. keep names what is in use and must not be stored with it.
func (h *hand) WriteSteps(ctx context.Context, from, to float64, keep []gcode.Difference) (routines.Written, error) {
	b := h.run.bench
	w := &write{bench: b, pay: b.pay, what: steps, noun: "steps/mm", goals: []goal{{"M92", 'E', from, to}}, keep: keep}
	h.run.at(&Doing{What: "writing steps/mm"})
	defer h.run.at(nil)
	defer b.forgetSettings()
	done, err := w.do(ctx)
	if err != nil || !w.owed {
		return done, err
	}
	return done, b.paid(ctx, w.what, logbook.Step{})
}

// A goal is one number among a printer's settings that is to be written.
type goal struct {
	word     string
	letter   byte
	from, to float64
}

// write is one writing of settings under way: old values owed, new ones set, read back, stored, loaded, read back.
type write struct {
	bench  *bench
	pay    func(ctx context.Context, only ...string) error
	what   string // as it is owed
	noun   string // as a person calls it
	goals  []goal
	keep   []gcode.Difference // in use, and not to be stored with it
	before gcode.Settings     // as stored will be, but for the goals
	owed   bool               // something was sent: whoever called strikes it out
}

// do writes the goals. Where it returns an error, what is owed stays so.
func (w *write) do(ctx context.Context) (routines.Written, error) {
	if refused, err := w.check(ctx); refused != nil || err != nil {
		return outcome(refused), err
	}
	if err := w.bench.owe(ctx, w.what, strings.Join(w.words(goal.new), "\n"), w.words(goal.old)...); err != nil {
		return routines.Written{}, err
	}
	w.owed = true
	done, err := w.prove(ctx)
	if err != nil {
		return routines.Written{}, err
	}
	return done, w.setKept(ctx)
}

func outcome(refused *routines.Written) routines.Written {
	if refused == nil {
		return routines.Written{}
	}
	return *refused
}

func (g goal) old() float64 { return g.from }
func (g goal) new() float64 { return g.to }

// words are the lines that set the goals, one for each word.
func (w *write) words(value func(goal) float64) []string {
	var out []string
	last := ""
	for _, g := range w.goals {
		if g.word != last {
			out, last = append(out, g.word), g.word
		}
		out[len(out)-1] += fmt.Sprintf(" %c%s", g.letter, settingText(value(g)))
	}
	return out
}

// off is the first goal that a settings report does not have at a value.
func (w *write) off(s gcode.Settings, value func(goal) float64) (g goal, now float64, off bool) {
	for _, g := range w.goals {
		if now, _ := s.Value(g.word, g.letter, 0); !same(now, value(g)) {
			return g, now, true
		}
	}
	return goal{}, 0, false
}

// now is the first goal's value in a report, which the outcome names.
func (w *write) now(s gcode.Settings) float64 {
	v, _ := s.Value(w.goals[0].word, w.goals[0].letter, 0)
	return v
}

// check holds that the printer still has the values the goals start from, and lays down what must not be stored.
func (w *write) check(ctx context.Context) (*routines.Written, error) {
	settings, err := w.bench.machine.Settings(ctx)
	if err != nil {
		return nil, fmt.Errorf("read the settings: %w", err)
	}
	for _, g := range w.goals {
		if _, ok := settings.Value(g.word, g.letter, 0); !ok {
			return &routines.Written{Standing: routines.NotWritten, Why: "the printer reports no " + w.noun}, nil
		}
	}
	if g, now, off := w.off(settings, goal.old); off {
		return &routines.Written{Standing: routines.NotWritten, Value: now,
			Why: fmt.Sprintf("the printer holds %g %s now, and the measurement was made with %g", now, w.noun, g.from)}, nil
	}
	w.before = settings
	if len(w.keep) == 0 {
		return nil, nil
	}
	if err := w.bench.owe(ctx, inUse, "", lines(w.keep)...); err != nil {
		return nil, err
	}
	if err := w.bench.machine.Load(ctx); err != nil {
		return nil, fmt.Errorf("load the stored settings: %w", err)
	}
	if w.before, err = w.bench.machine.Settings(ctx); err != nil {
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
		if line := d.Word + tool + " " + d.Letter + settingText(*d.InUse); machine.Settable(line) {
			out = append(out, line)
		}
	}
	return out
}

// setKept sets again what was in use and must not be stored.
func (w *write) setKept(ctx context.Context) error {
	if len(w.keep) == 0 {
		return nil
	}
	return w.pay(ctx, inUse)
}
