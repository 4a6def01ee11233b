package machine

import (
	"context"
	"fmt"

	"fettle/serialio/gcode"
)

// Position asks where the printer is (M114), mm. A firmware that does not say gives the zero position.
func (m *Machine) Position(ctx context.Context) (gcode.Position, error) {
	p, err := m.where(ctx)
	if err != nil {
		return gcode.Position{}, fmt.Errorf("ask for the position: %w", err)
	}
	return p.Position, nil
}
