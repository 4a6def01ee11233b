package machine

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"fettle/serialio"
	"fettle/serialio/gcode"
)

// ErrUnclear says that a question was answered differently each time, with signs of damage.
var ErrUnclear = errors.New("the printer's answer arrives damaged")

// mostAsks is how often a question is asked whose answer arrives damaged.
const mostAsks = 4

// answer leaves out what a printer says at any time without being asked, temperatures and comments: they are hardly ever
// alike twice.
func answer(lines []string) (kept []string) {
	for _, line := range lines {
		_, reading := gcode.ParseTemperatures([]byte(line))
		if !reading && !strings.HasPrefix(strings.TrimSpace(line), "//") {
			kept = append(kept, line)
		}
	}
	return kept
}

// ask asks what may be asked any number of times. An answer that may be damaged is believed when it comes twice alike.
func (m *Machine) ask(ctx context.Context, question string) (serialio.Reply, error) {
	var last serialio.Reply
	for i := range mostAsks {
		reply, err := m.send(ctx, block(question))
		if err != nil || !reply.Doubtful {
			return reply, err
		}
		if i > 0 && slices.Equal(answer(reply.Lines), answer(last.Lines)) {
			return reply, nil
		}
		last = reply
	}
	return last, fmt.Errorf("ask %s: %w", question, ErrUnclear)
}
