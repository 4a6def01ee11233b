package machine

import (
	"context"
	"fmt"

	"fettle/serialio/gcode"
)

// Set sends one word of the closed list of what is set aside and owed, held to the ranges of that list. The line is
// parsed and printed anew. Of heat it takes only "off". Errors: *gcode.SyntaxError, *RefusedError, those of the line.
func (m *Machine) Set(ctx context.Context, line string) error {
	b, err := gcode.Parse(line)
	if err != nil {
		return fmt.Errorf("set %q: %w", line, err)
	}
	command := name(b)
	w, ok := given[command]
	if !ok {
		return &RefusedError{command, "it is nothing that is set aside or owed", list(given)}
	}
	if err := w.hold(b); err != nil {
		return err
	}
	switch command {
	case "M104":
		m.aim.off()
	case "M140":
		m.bedAim.off()
	}
	_, err = m.send(ctx, b)
	return err
}
