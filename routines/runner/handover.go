package runner

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/logbook"
	"fettle/serialio/gcode"
)

// HandOver is what a person asks for: who has the values from now on.
type HandOver struct {
	To  string // docket.Firmware or docket.SlicingProgram
	Yes bool   // to change the printer's settings, which the firmware needs
}

// HandedOver is how a hand-over went.
type HandedOver struct {
	Docket  docket.Docket `json:"docket"`
	To      string        `json:"to"`
	Written *Written      `json:"written,omitempty"`
	Lines   []string      `json:"lines"` // what was set in the printer
	Notes   []string      `json:"notes"`
}

// Written is how settings stand in the printer, by the Standing constants of routines.
type Written struct {
	Standing string `json:"standing"`
	Why      string `json:"why,omitempty"`
	Said     string `json:"said,omitempty"`
}

// handingOver is the event that puts a hand-over down before its first word leaves.
const handingOver = "handing over"

// HandOver gives a docket's values to the one that retracts, and records it: from then on that one is active. For the
// firmware it writes M207 and M208, stores and proves them; nothing else that is in use is stored with them. Errors:
// *routines.FieldError, ErrNothingToHandOver, ErrOccupied, ErrSomeoneElse, ErrNotListening, and those of Docket.
func (r *Runner) HandOver(ctx context.Context, printer, material string, h HandOver, who string) (HandedOver, error) {
	b, d, err := r.docketOf(ctx, printer, material)
	if err != nil {
		return HandedOver{}, err
	}
	if err := b.checkHandOver(ctx, d, h); err != nil {
		return HandedOver{}, err
	}
	out := HandedOver{To: h.To, Lines: []string{}, Notes: staleNotes(d)}
	intent := handoverIntent{docket.HandoverBody{To: h.To, Values: d.For(h.To)}, material, d.SetupVersion}
	if h.To == docket.Firmware {
		err = r.toFirmware(ctx, b, d, intent, who, &out)
	} else {
		_, err = r.Book.Commit(ctx, intent.step(printer, who, ""))
	}
	if err != nil {
		return HandedOver{}, fmt.Errorf("hand over to the %s: %w", strings.ReplaceAll(h.To, "_", " "), err)
	}
	b.tell()
	out.Docket, err = b.docket(ctx, material)
	return out, err
}

func (b *bench) checkHandOver(ctx context.Context, d docket.Docket, h HandOver) error {
	if h.To != docket.Firmware && h.To != docket.SlicingProgram {
		return &routines.FieldError{Field: "to", Detail: fmt.Sprintf("is %q", h.To), Accept: docket.Firmware + ", " + docket.SlicingProgram}
	}
	setup, err := b.runner.Book.Setup(ctx, b.printer.ID)
	if err != nil {
		return fmt.Errorf("read the setup: %w", err)
	}
	if setup.Retracts != "" && setup.Retracts != h.To {
		return &routines.FieldError{Field: "to", Detail: "is not the one that retracts by the setup, so the values would change nothing", Accept: setup.Retracts}
	}
	if h.To == docket.Firmware && !h.Yes {
		return &routines.FieldError{Field: "yes", Detail: "is missing, and this changes the printer's settings", Accept: "true"}
	}
	if _, found := d.Value(docket.RetractionLength); !found {
		return ErrNothingToHandOver
	}
	return nil
}

// staleNotes says which of the values that are handed over are stale.
func staleNotes(d docket.Docket) []string {
	notes := []string{}
	for _, r := range d.Rows {
		if r.Value != nil && !r.Fresh {
			notes = append(notes, fmt.Sprintf("%s is stale: %s", r.Label, r.Stale[0].Text))
		}
	}
	return notes
}

// toFirmware writes the values while nobody else uses the printer.
func (r *Runner) toFirmware(ctx context.Context, b *bench, d docket.Docket, intent handoverIntent, who string, out *HandedOver) error {
	ctx, release, err := r.alone(ctx, b)
	if err != nil {
		return err
	}
	defer release()
	defer b.forgetSettings()
	settings, err := b.machine.Settings(ctx)
	if err != nil {
		return fmt.Errorf("read the settings: %w", err)
	}
	w := &write{bench: b, pay: b.payHeld, what: retraction, noun: "retraction length (M207 S): it does not retract by itself"}
	intent.Take(settings)
	w.goals = goalsFrom(intent.Numbers(), settings)
	standing, err := b.writeRetraction(ctx, w, &intent, who, out)
	if err != nil {
		return r.afterFailure(ctx, b, err)
	}
	step := intent.step(b.printer.ID, who, standing)
	if w.owed {
		return b.paid(ctx, w.what, step)
	}
	if _, err := r.Book.Commit(ctx, step); err != nil {
		return fmt.Errorf("store the hand-over: %w", err)
	}
	return nil
}

// writeRetraction sets what is unsaved aside, writes, and says how it went.
func (b *bench) writeRetraction(ctx context.Context, w *write, intent *handoverIntent, who string, out *HandedOver) (string, error) {
	if _, err := b.runner.Book.Commit(ctx, logbook.Step{Events: []logbook.Event{{Printer: b.printer.ID, Kind: handingOver, Name: intent.To, Who: who, Body: mustJSON(intent)}}}); err != nil {
		return "", fmt.Errorf("put the hand-over down: %w", err)
	}
	var done routines.Written
	if len(w.goals) == 0 || w.goals[0].word+string(rune(w.goals[0].letter)) != "M207S" {
		done = routines.Written{Standing: routines.NotWritten, Why: "the printer reports no M207 S, so it does not retract by itself"}
	} else {
		differences, err := b.compareStored(ctx, b.payHeld)
		if err != nil {
			return "", err
		}
		w.keep = slices.DeleteFunc(differences, w.meant)
		if done, err = w.do(ctx); err != nil {
			return "", err
		}
		out.Lines = w.words(goal.new)
		out.Notes = append(out.Notes, lostNotes(w.keep)...)
	}
	out.Written = &Written{Standing: done.Standing, Why: done.Why, Said: done.Said}
	intent.Why, intent.Said = done.Why, done.Said
	if done.Standing == routines.NotWritten || done.Standing == routines.NotStored {
		out.Notes = append(out.Notes, "Put the lines for the start of a print into the slicing program's own start: they set the values each time.")
	}
	return done.Standing, nil
}

// goalsFrom are the numbers that the printer reports, each from what it has.
func goalsFrom(numbers []docket.Number, s gcode.Settings) []goal {
	var goals []goal
	for _, n := range numbers {
		if now, ok := s.Value(n.Word, n.Letter[0], 0); ok {
			goals = append(goals, goal{n.Word, n.Letter[0], now, n.Value})
		}
	}
	return goals
}

// lostNotes names what was in use and was lost when the stored settings were loaded to compare them.
func lostNotes(keep []gcode.Difference) []string {
	var notes []string
	for _, d := range keep {
		if d.Lost {
			notes = append(notes, fmt.Sprintf("%s %s was in use and not stored; no word sets it again, so what was stored is in use now.", d.Word, d.Letter))
		}
	}
	return notes
}
