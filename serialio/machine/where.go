package machine

import (
	"context"
	"math"
	"strings"

	"fettle/serialio/gcode"
)

// A place is where the printer says it is, mm.
type place struct {
	gcode.Position
	known     bool
	hasE      bool
	halfStepE float64 // half of the last decimal it gives for E
}

// where asks for the position (M114). A firmware that does not say is no error: known is false.
func (m *Machine) where(ctx context.Context) (place, error) {
	reply, err := m.ask(ctx, "M114")
	if err != nil {
		return place{}, err
	}
	for _, line := range reply.Lines {
		if p, ok := gcode.ParsePosition([]byte(line)); ok {
			half, hasE := halfStep(line)
			return place{Position: p, known: true, hasE: hasE, halfStepE: half}, nil
		}
	}
	return place{}, nil
}

// halfStep is half of the last decimal that a position line gives for E.
func halfStep(line string) (float64, bool) {
	moves, _, _ := strings.Cut(line, "Count")
	_, text, ok := strings.Cut(moves, "E:")
	if !ok {
		return 0, false
	}
	text = strings.TrimSpace(text)
	text, _, _ = strings.Cut(text, " ")
	_, decimals, _ := strings.Cut(text, ".")
	return 0.5 * math.Pow10(-len(decimals)), true
}
