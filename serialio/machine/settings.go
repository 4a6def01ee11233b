package machine

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"fettle/serialio/gcode"
)

// Settings asks for the settings in use (M503). A firmware that keeps them elsewhere gives none, which is no error.
func (m *Machine) Settings(ctx context.Context) (gcode.Settings, error) {
	reply, err := m.ask(ctx, "M503")
	if err != nil {
		return gcode.Settings{}, err
	}
	return gcode.ParseSettings(reply.Lines), nil
}

// SetStepsPerMM sets the extruder's steps/mm of filament (M92 E), in use until the printer restarts.
func (m *Machine) SetStepsPerMM(ctx context.Context, stepsPerMM float64) error {
	if !(stepsPerMM >= minStepsPerMM && stepsPerMM <= maxStepsPerMM) {
		return &RefusedError{"M92", fmt.Sprintf("%g steps/mm is no setting of an extruder", stepsPerMM), fmt.Sprintf("%d to %d steps/mm", minStepsPerMM, maxStepsPerMM)}
	}
	return m.do(ctx, "M92", 'E', round(stepsPerMM, 4))
}

// Save stores every setting in use (M500). Only reading back says whether it did.
func (m *Machine) Save(ctx context.Context) error { return m.do(ctx, "M500") }

// Load puts every stored setting in use (M501).
func (m *Machine) Load(ctx context.Context) error { return m.do(ctx, "M501") }

// Multipliers asks by what flow and feed are multiplied, in percent. nil is what the firmware does not say.
func (m *Machine) Multipliers(ctx context.Context) (flowPercent, feedPercent *float64, err error) {
	flow, err := m.ask(ctx, "M221")
	if err != nil {
		return nil, nil, err
	}
	feed, err := m.ask(ctx, "M220")
	if err != nil {
		return nil, nil, err
	}
	return percentIn(flow.Lines, "Flow:"), percentIn(feed.Lines, "FR:"), nil
}

// percentIn finds "Flow: 95%" or "FR:95%" in what was said, of the first tool where several are listed.
func percentIn(lines []string, label string) *float64 {
	for _, line := range lines {
		_, rest, ok := strings.Cut(line, label)
		if !ok {
			continue
		}
		text, _, ok := strings.Cut(rest, "%")
		if !ok {
			continue
		}
		if v, err := strconv.ParseFloat(strings.TrimSpace(text), 64); err == nil && v > 0 && v < 10_000 {
			return &v
		}
	}
	return nil
}
