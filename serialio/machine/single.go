package machine

import (
	"context"
	"fmt"

	"fettle/serialio/gcode"
)

// Single sends one line that a person typed, and returns what the printer said to it. The line is parsed, held to a
// closed list and to the printer's limits, and printed anew; attended says that a person is at the machine, without
// which nothing heats or moves. Before a move the printer is asked where it is and told in which modes to read the move.
// Errors: *gcode.SyntaxError for what is no block, *RefusedError for what is not sent, those of the line.
func (m *Machine) Single(ctx context.Context, line string, attended bool) ([]string, error) {
	b, err := gcode.Parse(line)
	if err != nil {
		return nil, fmt.Errorf("read the line: %w", err)
	}
	w, err := typedWord(b)
	if err != nil {
		return nil, err
	}
	if err := m.allow(ctx, b, w, attended); err != nil {
		return nil, err
	}
	if celsius, heats := b.Value('S'); heats && b.Is("M104") {
		reply, err := m.setNozzle(ctx, celsius)
		return reply.Lines, err
	}
	if b.Is("M140") { // the bed of whoever typed it: held to the limit, and not against another hand at the panel
		m.bedAim.unsure()
	}
	reply, err := m.send(ctx, b)
	if err == nil {
		m.note(b)
	}
	return reply.Lines, err
}

// typedWord finds the block's entry in the closed list and holds it to that.
func typedWord(b gcode.Block) (word, error) {
	command := name(b)
	w, ok := typed[command]
	if ok {
		err := w.hold(b)
		if no, known := untyped[command]; known && err != nil { // a word that asks alone, and writes with more
			err = &RefusedError{command, no.why, no.accept}
		}
		return w, err
	}
	for _, table := range []map[string]no{never, untyped} {
		if no, known := table[command]; known {
			return w, &RefusedError{command, no.why, no.accept}
		}
	}
	return w, &RefusedError{command, "it is not on the list of what may be typed", list(typed)}
}

// allow holds what heats to the caps and what moves to the build volume, and both to a person being there.
func (m *Machine) allow(ctx context.Context, b gcode.Block, w word, attended bool) error {
	command, limits := name(b), m.held()
	celsius, _ := b.Value('S')
	acts := w.touches == motion || (w.touches == heat && celsius > 0)
	if acts && !attended {
		return &RefusedError{command, "it heats or moves, and nobody has said to be at the machine", `the same with "attended": true`}
	}
	switch {
	case command == "M104":
		return limits.nozzle(command, celsius)
	case command == "M140":
		return limits.bed(command, celsius)
	case command == "G0" || command == "G1":
		return m.readyMove(ctx, b, limits)
	}
	return nil
}

// note remembers the modes that a person typed: they are sent again before each typed move.
func (m *Machine) note(b gcode.Block) {
	m.mu.Lock()
	defer m.mu.Unlock()
	switch name(b) {
	case "G90", "G91":
		m.modes.axesRelative = b.Is("G91")
	case "M82", "M83":
		m.modes.feedRelative = b.Is("M83")
	}
}
