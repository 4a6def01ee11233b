package routines

import (
	"context"
	"errors"

	"fettle/serialio/gcode"
)

// Printer is how a routine sees the printer while an Act is live. Every verb is held to the limits the run began with,
// blocks until the printer has obeyed and said so, and ends early when ctx does. What a verb leaves behind is
// written down as owed before the first byte leaves.
type Printer interface {
	// Settings asks for the settings report (M503).
	Settings(ctx context.Context) (gcode.Settings, error)
	// Feed pushes filament, lengthMM of it at speedMMPerS by the steps/mm now in force, from a fresh zero, in pieces
	// of at most 2 s, and returns when the moves have ended (M400). It returns what was commanded.
	Feed(ctx context.Context, lengthMM, speedMMPerS float64) (FeedDone, error)
	// FeedCold is Feed with no heat. The firmware's block of cold extrusion is lifted last before it and set again behind
	// it; meanwhile that is owed. It is for an open path below the gear only.
	FeedCold(ctx context.Context, lengthMM, speedMMPerS float64) (FeedDone, error)
	// AwaitCool waits until the nozzle's own readings are below a temperature, °C. It switches nothing off.
	AwaitCool(ctx context.Context, belowC float64) error
	// Stream sends a program, line by line as it is pulled, and returns when its moves have ended and its last line is
	// proven. A person may hold it between two lines. It waits for no heat: the act's own wish does. A program that moves
	// or heats needs an act that Moves. What it returns holds with an error too.
	Stream(ctx context.Context, p gcode.Program) (Streamed, error)
	// RestoreSetAsides gives multipliers and volume mode back as they were found, heater off first.
	RestoreSetAsides(ctx context.Context) error
	// CompareStored reads what the board has in use (M503), loads what it has stored (M501), reads again, and gives
	// back what was in use. It returns how the two differ.
	CompareStored(ctx context.Context) ([]gcode.Difference, error)
	// WriteSteps sets steps/mm of the extruder, stores it and proves it, as design has it: M92, read back, M500, M501,
	// read back; only that one value may differ, or everything is put back and the standing says so.
	WriteSteps(ctx context.Context, from, to float64, keep []gcode.Difference) (Written, error)
}

// FeedDone is what a feed did, and what was seen meanwhile.
type FeedDone struct {
	CommandedMM float64  `json:"commanded_mm"`
	SpeedMMPerS float64  `json:"speed_mm_per_s"`
	NozzleC     float64  `json:"nozzle_c"`            // read at the end of the feed; 0 where never read
	Prevented   bool     `json:"prevented,omitempty"` // the firmware refused a cold feed although it said ok
	Remarks     []string `json:"remarks,omitempty"`   // what the firmware said of its own accord
}

// ErrGaveUp says that the line gave a stream up by itself: too much of it was damaged, or the printer fell silent. Where
// that is what was to be found out, it is no failure.
var ErrGaveUp = errors.New("the line gave up")

// Streamed is how a stream went. Its times are of a clock on the wall.
type Streamed struct {
	Lines      int      `json:"lines"` // told done: the printer has obeyed them, but for the last Unsure ones
	OfLines    int      `json:"of_lines"`
	Unsure     int      `json:"unsure"`      // of Lines, the last ones, which nothing proves
	Bytes      int64    `json:"bytes"`       // of those lines, without number and checksum
	SentAgain  uint64   `json:"sent_again"`  // frames that were sent once more
	AskedAfter uint64   `json:"asked_after"` // frames whose fate had to be asked for
	Garbled    uint64   `json:"garbled"`     // answers that could not be read for certain
	TookS      float64  `json:"took_s"`      // pauses included
	PausedS    float64  `json:"paused_s"`
	SlowestMS  float64  `json:"slowest_ms"` // the longest that an answer took
	Remarks    []string `json:"remarks"`    // what the firmware said of its own accord
}

// Written is the outcome of writing a setting.
type Written struct {
	Standing string  `json:"standing"` // one of the Standing constants
	Value    float64 `json:"value"`    // what the printer holds now, by its own report
	Said     string  `json:"said,omitempty"`
	Why      string  `json:"why,omitempty"`
}

// How a written value stands.
const (
	Verified           = "verified"              // stored, loaded again and read back
	WrittenNotVerified = "written, not verified" // the store holds it, but the run ended before it was proved
	NotStored          = "set, not stored"       // in use until the printer restarts: it has no store
	NotWritten         = "not written"           // refused, or put back
)
