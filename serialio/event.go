package serialio

import "time"

// Mono is monotonic time since the line was made: the only time inside the engine.
type Mono = time.Duration

// Kind says what happened.
type Kind uint8

// The kinds of Event.
const (
	Tick       Kind = iota // Due has come, or not: a stale one is harmless
	Opened                 // the port is open
	OpenFailed             // it could not be opened; Text says why
	Gone                   // the port failed; Text says why
	Heard                  // Text is one line from the printer
	Submit                 // Job wants Text, one printed block, to be sent
	Withdraw               // Job's caller no longer waits
	Stop
	Halt
	Wake
)

// An Event is one thing that happened to the line. Text is only looked at during the step.
type Event struct {
	Kind Kind
	Job  uint32
	Text []byte
}

// Do says what the shell must do.
type Do uint8

// The kinds of Effect.
const (
	Write Do = iota // write Text to the port
	End             // tell Job's caller how it ended; each Job gets exactly one End
	Open            // open the port, then say Opened or OpenFailed
	Close           // close the port
)

// An Effect is one thing to be done. Text is good until the next step.
type Effect struct {
	Do       Do
	Job      uint32
	Outcome  Outcome
	Doubtful bool
	Text     []byte // of a Write: the bytes. Of an End: what the printer said, one line feed behind each line
	Why      string // of an End: why, or the firmware's own words
}

// Outcome is how a job ended.
type Outcome uint8

// The outcomes of a job.
const (
	Obeyed     Outcome = iota
	Refused            // the printer answered with an error of its own; Why is its text
	Unknown            // sent, and its fate is not known
	Unsent             // never sent: the line does not listen
	BadBlock           // never sent: it is no printed block
	Stopped            // ended by a stop
	WasHalted          // ended by a halt, ours or the printer's own
	Lost               // the port went away
	Restarted          // the board restarted
	Withdrawn          // its caller no longer waits; never sent
	Unattended         // its caller no longer waits; it was sent, and is awaited without telling anyone
)
