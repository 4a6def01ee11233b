// Package serialio is one printer's line: the serial connection with its G-code conversation.
//
// Owns: line numbers and checksums, what the printer said, whether the two sides are in step, the stops, and the wire,
// the live record of every line both ways.
// Guarantees: one line in flight; lines are obeyed in order, none twice, none skipped; a caller is told done only when
// no reply since its line was sent leaves a doubt, and a line told done is obeyed, or is among those that the end of the
// conversation is said to leave unsure; every call gets exactly one answer; Stop is behind nothing.
// Does not do: judge whether a line may be sent (serialio/machine holds the limits), resume work after a fault, or
// store anything.
// Read next: engine.go (the pure step), exchange.go (one line's fate), mark.go (being in step), stopping.go, then
// line.go and loop.go, the thin shell of goroutines around it.
package serialio

import (
	"context"
	"io"
	"log/slog"
	"time"

	"fettle/serialio/gcode"
)

// State is how the line stands.
type State int

// The states of a line.
const (
	Unplugged State = iota // no port is open
	Greeting               // open, waiting for the printer's greeting and its first answers
	Listening              // in step: a line that is sent is obeyed
	OutOfStep              // what the printer obeyed last is not known, or it is being stopped
	Halted                 // it stopped itself, or Halt was asked; a person must Wake it
)

func (s State) String() string {
	names := [...]string{"unplugged", "greeting", "listening", "out of step", "halted"}
	if s >= 0 && int(s) < len(names) {
		return names[s]
	}
	return "unknown"
}

// Config is what a Line needs to begin.
type Config struct {
	Open    func(ctx context.Context) (io.ReadWriteCloser, error) // opens the port by its stable name
	Speedup float64                                               // demo only; 0 or 1 is real time. Scales waits; no alarm is shorter than 1 s
	Silence time.Duration                                         // alarm of the line in flight; 0 means 5 s
	Log     *slog.Logger                                          // nil means none
	Boot    string                                                // names this life of the agent in wire numbers
}

// A Snapshot is one consistent look at a line. A reading's age is the time since its At; a zero At means never read.
type Snapshot struct {
	State         State
	Why           string // why it is in this state, for a person
	Since         time.Time
	Temps         gcode.Temperatures
	TempsAt       time.Time
	Position      gcode.Position
	PositionAt    time.Time
	Identity      gcode.Identity
	StopAsked     bool   // heaters were asked to go off, by a person or by the line itself after a fault
	StopConfirmed bool   // two reports since then say that every target is 0
	Fault         string // why the printer stopped itself, in the firmware's own words
	Greetings     int    // how often the board has greeted: it restarts at each
	Breaks        int    // how often a conversation has ended otherwise than by finishing: a stop, a fault, a restart
	Unsure        int    // of the lines told done before the last break, the last ones, which nothing proves
	Counts        Counts // as of this look, which is anew with each reading
}

// Counts is what the line has had to do since it was made.
type Counts struct {
	Lines   uint64 // sent for the first time
	Again   uint64 // sent again
	Asked   uint64 // asked after, since their fate was not certain
	Garbled uint64 // replies that could not be read for certain
	Surplus uint64 // oks too many
}

// A Reply is what the printer said between a line and its ok, the ok's own fields included.
type Reply struct {
	Lines    []string
	Doubtful bool // one of the lines may have been damaged on the way; ask again before believing it
}
