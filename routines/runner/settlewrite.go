package runner

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/logbook"
	"fettle/serialio/gcode"
)

// settleWrite ends a write of settings that was cut off. It reads first: what the store holds is kept and recorded as
// written, not verified; anything else is put back.
func (b *bench) settleWrite(ctx context.Context, row logbook.Owed) (logbook.Step, error) {
	var none logbook.Step
	b.forgetSettings()
	if err := b.machine.Load(ctx); isFirmware(err) {
		return none, b.setAll(ctx, row.Restore) // it has no store that could hold anything
	} else if err != nil {
		return none, fmt.Errorf("load the stored settings: %w", err)
	}
	settings, err := b.machine.Settings(ctx)
	if err != nil {
		return none, fmt.Errorf("read the settings: %w", err)
	}
	w := write{}
	if w.goals, err = goalsOf(row.KeepIf); err != nil {
		return none, err
	}
	if _, _, off := w.off(settings, goal.new); off {
		return none, b.setAll(ctx, row.Restore)
	}
	if row.What == retraction {
		return b.handedNotVerified(ctx, row)
	}
	return b.stepsNotVerified(ctx, row, w.now(settings))
}

// goalsOf reads the words of an owed write, such as "M92 E93", one on a line.
func goalsOf(words string) ([]goal, error) {
	var goals []goal
	for line := range strings.Lines(words) {
		block, err := gcode.Parse(strings.TrimSpace(line))
		if err != nil {
			return nil, fmt.Errorf("read the owed word %q: %w", line, err)
		}
		word := gcode.Block{Words: block.Words[:1]}.String()
		for _, p := range block.Words[1:] {
			goals = append(goals, goal{word: word, letter: p.Letter, to: p.Value})
		}
	}
	if len(goals) == 0 {
		return nil, fmt.Errorf("the owed word %q sets nothing", words)
	}
	return goals, nil
}

// stepsNotVerified is the record of steps/mm that the store holds, for the setup and material of the run that wrote it.
func (b *bench) stepsNotVerified(ctx context.Context, row logbook.Owed, value float64) (logbook.Step, error) {
	record, err := b.runner.Book.Run(ctx, row.Run)
	if err != nil {
		return logbook.Step{}, fmt.Errorf("read the run that wrote it: %w", err)
	}
	var begin routines.Begin
	if err := json.Unmarshal(record.Begin, &begin); err != nil {
		return logbook.Step{}, fmt.Errorf("read what run %s began with: %w", row.Run, err)
	}
	body := mustJSON(map[string]any{"restore": row.Restore, "why": "the run was cut off between writing and reading back"})
	return logbook.Step{
		Entries: []logbook.Entry{{Run: row.Run, Printer: row.Printer, Who: record.Who, Material: begin.Material.ID, SetupVersion: begin.Setup.Version, Entry: routines.Entry{
			Kind: "steps_per_mm", Value: &value, Unit: "steps/mm", Standing: routines.WrittenNotVerified, Body: body}}},
		Events: []logbook.Event{{Run: row.Run, Printer: row.Printer, Kind: "note", Name: "steps/mm written, not verified", Body: body}},
	}, nil
}

// handedNotVerified is the record of a hand-over whose values the store holds. What was to be handed over was put down
// before the first word.
func (b *bench) handedNotVerified(ctx context.Context, row logbook.Owed) (logbook.Step, error) {
	events, err := b.runner.Book.Events(ctx, logbook.Filter{Printer: row.Printer, Kind: handingOver})
	if err != nil {
		return logbook.Step{}, fmt.Errorf("read what was handed over: %w", err)
	}
	if len(events) == 0 {
		return logbook.Step{}, fmt.Errorf("%s is owed to %s, and nothing was handed over: %w", row.What, row.Printer, logbook.ErrNotFound)
	}
	begun := events[len(events)-1]
	var intent handoverIntent
	if err := json.Unmarshal(begun.Body, &intent); err != nil {
		return logbook.Step{}, fmt.Errorf("read what was handed over: %w", err)
	}
	intent.Why = "it was cut off between writing and reading back"
	return intent.step(row.Printer, begun.Who, routines.WrittenNotVerified), nil
}

// handoverIntent is a hand-over as it is put down before it is done.
type handoverIntent struct {
	docket.HandoverBody
	Material     string `json:"material"`
	SetupVersion int64  `json:"setup_version"`
}

// step is the record of a hand-over that was done, however it stands.
func (i handoverIntent) step(printer, who, standing string) logbook.Step {
	body := mustJSON(i.HandoverBody)
	return logbook.Step{
		Events: []logbook.Event{{Printer: printer, Kind: "handed over", Name: i.To, Who: who, Body: mustJSON(i)}},
		Entries: []logbook.Entry{{Printer: printer, Who: who, Material: i.Material, SetupVersion: i.SetupVersion,
			Entry: routines.Entry{Kind: docket.KindHandover, Standing: standing, Body: body}}},
	}
}
