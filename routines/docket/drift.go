package docket

import (
	"time"

	"fettle/routines/gauge"
)

// A DriftQuery says which feed checks are looked at.
type DriftQuery struct {
	Setup            int64   // its version; 0: the one in force
	Material         string  // "": checks with any
	TolerancePercent float64 // how far the steps/mm may go; 0: UsualTolerancePercent
}

// UsualTolerancePercent is the feed error from which on later work suffers. Common practice, no source.
const UsualTolerancePercent = 1

// The tolerances that can be asked about, per cent: below, no gauge of a bench can tell; above, a print shows it.
const (
	leastTolerancePercent = 0.1
	mostTolerancePercent  = 10
)

// A Drift is what the feed checks of a printer, as it was fitted, say about change over time.
//
// Between two checks something may have been changed that the feed rests on. Such a change is a splice: what lies before it
// and behind it are stretches of their own, and are never compared. Centre, Tolerance, PerDay and Again are of the newest.
type Drift struct {
	Printer          string        `json:"printer"`
	SetupVersion     int64         `json:"setup_version"`
	Material         string        `json:"material,omitempty"`
	Setups           []SetupChecks `json:"setups"` // those with checks, and the one that is shown; oldest first
	Unit             string        `json:"unit"`   // of all values
	TolerancePercent float64       `json:"tolerance_percent"`
	Tolerance        *float64      `json:"tolerance,omitempty"`
	Checks           []DriftCheck  `json:"checks"` // in the order of the logbook
	Splices          []Splice      `json:"splices"`
	Centre           *float64      `json:"centre,omitempty"`
	Signals          []DriftSignal `json:"signals"`
	PerDay           *float64      `json:"per_day,omitempty"`
	PerDayU95        *float64      `json:"per_day_u95,omitempty"`
	Again            *time.Time    `json:"again,omitempty"` // check again by then
	Why              string        `json:"why"`             // Again is not known, or what set it
	Untimed          int           `json:"untimed"`         // checks that no rate rests on, since nobody vouches for their time
	Unmeasured       int           `json:"unmeasured"`      // those that are left out: they came to no steps/mm
	Notes            []string      `json:"notes"`
}

// SetupChecks is how many checks were made with a version of the setup.
type SetupChecks struct {
	Version int64 `json:"version"`
	Checks  int   `json:"checks"`
}

// A DriftCheck is one feed check: the steps/mm that it found to be true, whatever was written then. Limits are those of its
// own stretch, and nil where it is alone in that.
type DriftCheck struct {
	Entry    int64      `json:"entry"`
	Run      string     `json:"run,omitempty"`
	At       *time.Time `json:"at,omitempty"` // nil where nobody vouches for it
	Value    float64    `json:"value"`
	U95      float64    `json:"u95"`
	Finding  string     `json:"finding,omitempty"`
	Material string     `json:"material,omitempty"`
	Method   string     `json:"method,omitempty"`
	Gauge    string     `json:"gauge,omitempty"`
	Low      *float64   `json:"low,omitempty"`
	High     *float64   `json:"high,omitempty"`
	EWMA     float64    `json:"ewma"` // the average that forgets
	EWMALow  *float64   `json:"ewma_low,omitempty"`
	EWMAHigh *float64   `json:"ewma_high,omitempty"`
	Stretch  int        `json:"stretch"`
}

// A Splice is a recorded change of what the feed rests on.
type Splice struct {
	Before int        `json:"before"` // the first check behind it; as many as there are: none was made since
	Entry  int64      `json:"entry"`
	At     *time.Time `json:"at,omitempty"` // nil where nobody vouches for it
	What   string     `json:"what"`
	Text   string     `json:"text"`
}

// A DriftSignal is a rule that was broken from one check to another.
type DriftSignal struct {
	Rule  string `json:"rule"`
	Chart string `json:"chart"` // OfChecks, OfAverage or OfTrend
	From  int    `json:"from"`
	To    int    `json:"to"`
	Side  string `json:"side"` // "high", "low", or "" where the rule has none
}

// The charts that a signal can be of.
const (
	OfChecks  = "individuals"
	OfAverage = "ewma"
	OfTrend   = "trend"
)

// chartOf finds the chart on which a rule is looked for.
func chartOf(rule string) string {
	switch rule {
	case gauge.RuleBeyond, gauge.RuleBeyondWhole, gauge.RuleSixOneWay:
		return OfChecks
	case gauge.RuleAverage:
		return OfAverage
	}
	return OfTrend
}
