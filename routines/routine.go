// Package routines holds what a guided procedure is made of: a Routine, the Run that executes it once, the
// Questions it asks, the Acts that touch the printer, and the Finding it ends with.
//
// Owns: the words between a routine and whoever executes it, and the replay of a run's own facts.
// Guarantees: a fact that is in the past is handed back, in order, and its deed is never done again.
// Does not do: keep time, store anything, talk to a printer; the runner gives it a Host for that.
// Read next: run.go (Ask, Act, Hot), question.go (Field), printer.go, then routines/feed for a procedure.
package routines

import (
	"encoding/json"
	"time"
)

// A Routine is a guided procedure that can be run on a printer: its name, what it wants to know beforehand, and the
// straight-line code that does it.
type Routine struct {
	Name    string  // snake_case, as the API calls it: "feed_check"
	Title   string  // as a person calls it: "Feed check"
	Program string  // changes whenever the order of its facts changes; a run of another program is not resumed
	Inputs  []Field // asked before the run begins
	// Reads are the kinds of entries that the routine wants to know of its printer from before: they are in Begin.Records.
	Reads []string
	// Check holds the inputs, already within their fields, against each other and against the setup and the material.
	// It returns a *FieldError for what a person can mend. Nil means nothing more to check.
	Check func(Begin) error
	// Do is the procedure. Between Ask and Act it must be a pure function of what they returned: no clock, no random
	// number, no map order, or a replay would take another way.
	Do func(*Run) (Finding, error)
}

// Begin is what a run starts from and holds to until it ends: a later change of the setup does not reach it.
type Begin struct {
	Inputs   json.RawMessage `json:"inputs"` // one JSON object, every field present that has a default
	Setup    Setup           `json:"setup"`
	Material Material        `json:"material"`
	Records  []Record        `json:"records,omitempty"` // of the kinds that the routine reads, of this printer, oldest first
}

// A Record is an entry as it stands in the logbook.
type Record struct {
	ID       int64     `json:"id"`
	Setup    int64     `json:"setup_version,omitempty"`
	Material string    `json:"material,omitempty"`
	Run      string    `json:"run,omitempty"`
	Who      string    `json:"who,omitempty"`
	At       time.Time `json:"at"`
	Undated  bool      `json:"undated,omitempty"` // nobody vouches for At: the clock had not been set
	Entry
}

// A Finding is what a run ended with, in words and numbers.
type Finding struct {
	Kind     string      `json:"kind"`     // "leave", "change", "cannot_tell", "ratio", or the routine's own
	Headline string      `json:"headline"` // one line: "Change it to 95.88"
	Reason   string      `json:"reason"`   // one sentence
	Values   []Value     `json:"values,omitempty"`
	Budget   []BudgetRow `json:"budget,omitempty"` // what the uncertainty is made of
	Notes    []string    `json:"notes,omitempty"`  // what a person should do or know next
}

// A Value is a number with its unit and, where it was measured, its expanded uncertainty at about 95 %.
type Value struct {
	Name  string   `json:"name"` // "steps_per_mm"
	Unit  string   `json:"unit"` // "steps/mm"
	Value float64  `json:"value"`
	U95   *float64 `json:"u95,omitempty"`
}

// A BudgetRow is one contribution to an uncertainty, as JCGM 100:2008 tabulates them.
type BudgetRow struct {
	Name         string  `json:"name"`         // "leftover, reading"
	Type         string  `json:"type"`         // "A" or "B"
	Distribution string  `json:"distribution"` // "normal", "rectangular"
	Limit        float64 `json:"limit"`        // half width, or standard deviation for a normal one
	U            float64 `json:"u"`            // standard uncertainty of the contribution to the result
	Unit         string  `json:"unit"`
	LimitUnit    string  `json:"limit_unit,omitempty"` // of Limit; empty where it is Unit too
	Common       bool    `json:"common"`               // the same in every pass: does not shrink with repeats
}

// An Entry is a record for the logbook: something measured, decided or changed. It is never edited, only superseded.
type Entry struct {
	Kind     string          `json:"kind"` // "feed_check", "steps_per_mm", ...
	Value    *float64        `json:"value,omitempty"`
	Unit     string          `json:"unit,omitempty"`
	U95      *float64        `json:"u95,omitempty"`
	Standing string          `json:"standing,omitempty"` // "verified", "written, not verified", "not written", ...
	Body     json.RawMessage `json:"body,omitempty"`     // everything it rests on: raw readings, old value, gauge, program
}
