package runner

import (
	"encoding/json"
	"time"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/logbook"
	"fettle/serialio/gcode"
)

// Order is what a person or a script asks to be run.
type Order struct {
	Printer  string
	Routine  string
	Material string
	Inputs   json.RawMessage // one JSON object of the routine's fields
	Attended bool            // somebody is at the printer and has read the caution
	TakeOver string          // an ended run whose measured passes are taken over
	Who      string
}

// Run states. A run that waits for a person is asking; the last four are ends.
const (
	Underway    = "underway"
	Asking      = "asking"
	Finished    = "finished"
	Stopped     = "stopped"     // by a person
	Interrupted = "interrupted" // the line, the board or the agent went away
	Failed      = "failed"
)

// Ended reports whether a run in this state is over.
func Ended(state string) bool { return state != Underway && state != Asking }

// RunView is a run as a person sees it.
type RunView struct {
	ID       string            `json:"id"`
	Printer  string            `json:"printer"`
	Routine  string            `json:"routine"`
	Material string            `json:"material,omitempty"`
	State    string            `json:"state"`
	Doing    *Doing            `json:"doing,omitempty"`
	Question *OpenQuestion     `json:"question,omitempty"`
	Finding  *routines.Finding `json:"finding,omitempty"`
	Cause    string            `json:"cause,omitempty"` // why it ended, where it did not finish
	Inputs   json.RawMessage   `json:"inputs,omitempty"`
	From     string            `json:"from,omitempty"` // the run it took over from
	Who      string            `json:"who,omitempty"`
	Begun    time.Time         `json:"begun"`
	Ended    *time.Time        `json:"ended,omitempty"`
	LastSeq  int64             `json:"last_seq"`
	Answers  []Given           `json:"answers"` // oldest first; none in a listing
}

// Doing is what the printer is at for this run, live only: "waiting for the line", "setting multipliers aside", "heating",
// "feeding", "streaming", "switching the heater off", "writing steps/mm", "restoring", "waiting for the store".
type Doing struct {
	What     string  `json:"what"` // one of those above
	TargetC  float64 `json:"target_c,omitempty"`
	FedMM    float64 `json:"fed_mm,omitempty"`
	OfMM     float64 `json:"of_mm,omitempty"`
	Progress         // of a program that is streamed
}

// OpenQuestion is the question that waits for an answer.
type OpenQuestion struct {
	Number int64 `json:"number"`
	routines.Question
	Asked   time.Time  `json:"asked"`
	CoolsAt *time.Time `json:"cools_at,omitempty"` // when a heater goes off by itself if nobody answers
}

// Given is an answer that was given.
type Given struct {
	Question int64           `json:"question"`
	Name     string          `json:"name"`
	Answer   json.RawMessage `json:"answer"`
	Who      string          `json:"who,omitempty"`
	At       time.Time       `json:"at"`
}

// PrinterView is a printer as a person sees it: its line, its heat, what it is fitted with, what is due.
type PrinterView struct {
	ID          string          `json:"id"`
	Name        string          `json:"name"`
	Port        string          `json:"port"`
	Baud        int             `json:"baud"`
	DTR         bool            `json:"dtr"` // as the kernel raises it when the port is opened; false: lowered then
	RTS         bool            `json:"rts"`
	Line        LineView        `json:"line"`
	Nozzle      *Reading        `json:"nozzle,omitempty"`
	Bed         *Reading        `json:"bed,omitempty"`
	Setup       *routines.Setup `json:"setup,omitempty"`
	Run         string          `json:"run,omitempty"`          // the run that holds it
	Owed        []string        `json:"owed"`                   // what it must be given back: "heat", "flow multiplier", ...
	Due         []string        `json:"due"`                    // what a person should see to next
	SomeoneElse string          `json:"someone_else,omitempty"` // what was read, where it works for someone else
	Stop        *StopView       `json:"stop,omitempty"`

	Fingerprint    *logbook.Fingerprint `json:"fingerprint,omitempty"`     // by which it is known
	AnotherPrinter *AnotherPrinter      `json:"another_printer,omitempty"` // who answers on its port instead
	Differs        []docket.Difference  `json:"differs,omitempty"`         // settings that are others than the docket has them
}

// LineView is the state of a printer's line.
type LineView struct {
	State    string       `json:"state"` // "unplugged", "greeting", "listening", "out of step", "halted"
	Why      string       `json:"why,omitempty"`
	Since    time.Time    `json:"since"`
	Occupied bool         `json:"occupied"`
	Fault    string       `json:"fault,omitempty"`    // the firmware's own words
	Plain    *gcode.Fault `json:"plain,omitempty"`    // what they mean, beside them; nil where they name no fault
	Firmware string       `json:"firmware,omitempty"` // what it calls itself
}

// Reading is a temperature with its age.
type Reading struct {
	C        float64 `json:"c"`
	TargetC  float64 `json:"target_c"`
	AgeS     float64 `json:"age_s"`
	Outdated bool    `json:"outdated"` // too old to rely on
}

// StopView says whether a stop that was asked for has been confirmed by the printer's own report.
type StopView struct {
	Confirmed bool `json:"confirmed"`
}

// WireLine is one line of the conversation with a printer. Numbers count within one life of the agent (boot).
type WireLine struct {
	N    int64     `json:"n"`
	Boot string    `json:"boot"`
	At   time.Time `json:"at"`
	Out  bool      `json:"out"` // to the printer
	Text string    `json:"text"`
}

// Wire is the live record of a line.
type Wire interface {
	Since(n int64) []WireLine
	Changed() <-chan struct{}
}
