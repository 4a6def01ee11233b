// Package docket is what is known for one printer, as it is fitted, and one material: each tuned value, where it came from,
// and whether it still holds.
//
// Owns: the list of values, what a recorded change makes stale, what is due next, what feed checks say about drift, the
// comparison with a printer's own settings, and the forms in which values are handed over.
// Guarantees: a docket is a pure function of the logbook's entries; what was assumed is never shown as measured; exactly
// one of firmware and slicing program is active once something was handed over.
// Does not do: read the logbook, write to a printer; runner does. It knows no clock: By is told the time.
// Read next: kinds.go (the values), changes.go and rests.go (what makes them stale), fold.go, line.go, feed.go, due.go, drift.go (and
// drift_checks.go, drift_fold.go, drift_due.go), compare.go, snippet.go, who_has.go.
package docket

import (
	"time"

	"fettle/routines"
)

// An Entry is a record of the logbook.
type Entry = routines.Record

// A Docket is the values of one printer, setup and material.
type Docket struct {
	Printer      string      `json:"printer"`
	SetupVersion int64       `json:"setup_version"`
	Material     string      `json:"material"`
	MaterialName string      `json:"material_name"`
	Active       string      `json:"active"`   // Firmware or SlicingProgram, "" before the first hand-over
	Retracts     string      `json:"retracts"` // who pulls back: what is active, else what the setup says
	HandedOver   *HandedOver `json:"handed_over,omitempty"`
	Rows         []Row       `json:"rows"`
	Due          []Step      `json:"due"`

	feed feedChecks
}

// A Row is one value.
type Row struct {
	Kind     string     `json:"kind"`
	Label    string     `json:"label"`
	Unit     string     `json:"unit"`
	Value    *float64   `json:"value,omitempty"`
	U95      *float64   `json:"u95,omitempty"`
	Standing string     `json:"standing,omitempty"`
	From     Origin     `json:"from"`
	Fresh    bool       `json:"fresh"` // it has a value, and nothing recorded speaks against it
	Stale    []Why      `json:"stale"`
	Again    string     `json:"again,omitempty"`    // what to run again, where it is stale
	AgainBy  *time.Time `json:"again_by,omitempty"` // when at the latest, where it is not; nil: nothing is known of that
	Typed    *Limits    `json:"typed,omitempty"`    // what a person may type; nil: nothing
	Earlier  []Earlier  `json:"earlier"`            // newest first

	againWhy string // what set AgainBy
}

// Origin says where a value came from.
type Origin struct {
	Source string     `json:"source"`
	How    string     `json:"how"` // the same in words: "measured by run r12"
	Entry  int64      `json:"entry,omitempty"`
	Run    string     `json:"run,omitempty"`
	Who    string     `json:"who,omitempty"`
	At     *time.Time `json:"at,omitempty"`
}

// Sources of a value.
const (
	Measured       = "measured"
	Held           = "held" // a run held it while it measured something else
	Typed          = "typed"
	Reverted       = "reverted"
	CommonPractice = "common_practice"
	OfSetup        = "setup"
	OfDataSheet    = "data_sheet"
	Unknown        = "none"
)

// Why is one reason for which a value is stale.
type Why struct {
	What  string     `json:"what"` // a change of Changes
	Text  string     `json:"text"`
	Entry int64      `json:"entry,omitempty"` // that recorded it; 0 where it follows from a value
	At    *time.Time `json:"at,omitempty"`
}

// Earlier is a value that a row had, and can have again.
type Earlier struct {
	Entry    int64     `json:"entry"`
	Value    float64   `json:"value"`
	U95      *float64  `json:"u95,omitempty"`
	Standing string    `json:"standing,omitempty"`
	How      string    `json:"how"`
	At       time.Time `json:"at"`
}

// Limits is what a person may type.
type Limits struct {
	Min float64 `json:"min"`
	Max float64 `json:"max"`
}

// Row finds a row by its kind; nil where there is none.
func (d Docket) Row(kind string) *Row {
	for i := range d.Rows {
		if d.Rows[i].Kind == kind {
			return &d.Rows[i]
		}
	}
	return nil
}

// Value is the value of a row, and whether it has one.
func (d Docket) Value(kind string) (float64, bool) {
	if r := d.Row(kind); r != nil && r.Value != nil {
		return *r.Value, true
	}
	return 0, false
}
