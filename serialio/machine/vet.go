package machine

import (
	"context"
	"errors"
	"math"
	"slices"
	"time"

	"fettle/serialio/gcode"
)

// Vet holds a whole program to the closed list and to the limits, and returns how far it goes. Nothing is sent. Where a
// block does not say how long it lasts, its move at its speed does. Errors: *RefusedLine, which is a *RefusedError too.
func (m *Machine) Vet(p gcode.Program) (gcode.Extent, error) {
	all, _, err := m.vetFrom(place{}, p)
	return all, err
}

// VetHere is Vet for a program that goes on where the head stands now, as a part of a print does: where it is refused for a
// move from where nobody knows, the printer is asked where it is (M114), and the program looked at once more. Errors:
// *RefusedLine.
func (m *Machine) VetHere(ctx context.Context, p gcode.Program) (gcode.Extent, error) {
	all, anywhere, err := m.vetFrom(place{}, p)
	if err == nil || !anywhere {
		return all, err
	}
	if at, asked := m.where(ctx); asked == nil && at.known {
		all, _, err = m.vetFrom(at, p)
	}
	return all, err
}

// vetFrom also says whether what was refused began where the head may stand anywhere.
func (m *Machine) vetFrom(at place, p gcode.Program) (all gcode.Extent, anywhere bool, err error) {
	t := newTrack(m.held())
	t.stands(at)
	for step := range p.Steps {
		from := t.atMM
		c, text, lasts, err := t.next(step.Block)
		if err != nil {
			moves := c.name == "G0" || c.name == "G1"
			return all, moves && slices.ContainsFunc(from[:], math.IsNaN), atLine(all.Lines+1, err)
		}
		all.Add(lasting(step, lasts), len(text))
	}
	return all, false, nil
}

// lasting is the step with its time, as the program says or, where it does not, as its way and speed say.
func lasting(s gcode.Step, at time.Duration) gcode.Step {
	if s.Lasts == 0 {
		s.Lasts = at
	}
	return s
}

// atLine names the line that was refused.
func atLine(line int, err error) error {
	var refused *RefusedError
	if errors.As(err, &refused) {
		return &RefusedLine{line, refused}
	}
	return err
}

// A Reach is what a program does to the world, and leaves behind.
type Reach struct {
	Moves, Heats, Fans bool
	Sets               []string // the words by which it writes settings: "M204"
}

// ReachOf looks through a program for what it would do. What no program may hold is not its business.
func ReachOf(p gcode.Program) Reach {
	var r Reach
	for s := range p.Steps {
		if len(s.Block.Words) > 0 {
			r.take(inProgram[s.Block.Words[0]], s.Block)
		}
	}
	return r
}

func (r *Reach) take(c command, b gcode.Block) {
	amount, _ := b.Value('S')
	switch c.name {
	case "G0", "G1":
		r.Moves = r.Moves || has(b, 'X') || has(b, 'Y') || has(b, 'Z') || has(b, 'E')
	case "G10", "G11", "G28", "G29":
		r.Moves = true
	case "M104", "M140":
		r.Heats = r.Heats || amount > 0
	case "M106":
		r.Fans = r.Fans || amount > 0
	case "M204", "M207", "M208":
		if !slices.Contains(r.Sets, c.name) {
			r.Sets = append(r.Sets, c.name)
		}
	}
}
