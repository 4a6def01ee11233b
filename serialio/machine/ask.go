package machine

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"fettle/serialio"
)

// ErrUnclear says that a question was answered differently each time, with signs of damage.
var ErrUnclear = errors.New("the printer's answer arrives damaged")

// mostAsks is how often a question is asked whose answer arrives damaged.
const mostAsks = 4

// ask asks what may be asked any number of times. An answer that may be damaged is believed when it comes twice alike.
func (m *Machine) ask(ctx context.Context, question string) (serialio.Reply, error) {
	var last serialio.Reply
	for i := range mostAsks {
		reply, err := m.send(ctx, block(question))
		if err != nil || !reply.Doubtful {
			return reply, err
		}
		if i > 0 && slices.Equal(reply.Lines, last.Lines) {
			return reply, nil
		}
		last = reply
	}
	return last, fmt.Errorf("ask %s: %w", question, ErrUnclear)
}
