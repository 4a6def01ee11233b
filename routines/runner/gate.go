package runner

import (
	"context"
	"fmt"
	"strings"

	"fettle/serialio"
	"fettle/serialio/machine"
)

// A gate stands between a printer's verbs and its line: until it is known that the printer that answers is the one that
// is meant, nothing passes but what the line's own greeting asks. A stop is a person's, and passes always.
type gate struct {
	machine.Line
	bench *bench
}

// greetings are the questions that change nothing, on whichever printer.
var greetings = [...]string{"M105", "M114", "M115"} // does not change

func asksOnly(block string) bool {
	for _, q := range greetings {
		if strings.TrimSpace(block) == q {
			return true
		}
	}
	return false
}

// Send lets a block pass, or says that nothing was sent. A line that is away says so itself: between that and the next
// printer lies a whole greeting.
func (g gate) Send(ctx context.Context, block string) (serialio.Reply, error) {
	if !asksOnly(block) {
		switch s := g.Snapshot(); {
		case s.State == serialio.Greeting:
			return serialio.Reply{}, fmt.Errorf("send %s: %w", block, serialio.ErrNotListening)
		case s.State == serialio.Listening && g.bench.company.known.Load() != contactOf(s):
			return serialio.Reply{}, fmt.Errorf("send %s: %w", block, g.why())
		}
	}
	return g.Line.Send(ctx, block)
}

// why says why the gate is shut.
func (g gate) why() error {
	if a := g.bench.another(); a != nil {
		return &AnotherPrinterError{*a}
	}
	return fmt.Errorf("who answers is not known yet: %w", serialio.ErrNotListening)
}
