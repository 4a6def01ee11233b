package runner

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"

	"fettle/routines/logbook"
)

// AnotherPrinter is a printer that says other things of itself than the one that was met on this port.
type AnotherPrinter struct {
	Mark    string              `json:"mark"` // names what answers; given back by a person who says that it is the same printer
	Kept    logbook.Fingerprint `json:"kept"`
	Answers logbook.Fingerprint `json:"answers"`
	Text    string              `json:"text"`
}

func newAnotherPrinter(kept, answers logbook.Fingerprint) AnotherPrinter {
	return AnotherPrinter{Mark: markOf(answers), Kept: kept, Answers: answers, Text: fmt.Sprintf(
		"another printer answers on this port: it %s, and the one that was here %s", calls(answers), calls(kept))}
}

// calls is what a printer says of itself, as a verb. Its words are a stranger's, and quoted.
func calls(f logbook.Fingerprint) string {
	var words []string
	for _, w := range []string{f.Machine, f.Firmware, f.UUID} {
		if w != "" {
			words = append(words, fmt.Sprintf("%q", w))
		}
	}
	if len(words) == 0 {
		return "does not say what it is"
	}
	return "calls itself " + strings.Join(words, ", ")
}

// markOf is a short name for a fingerprint.
func markOf(f logbook.Fingerprint) string {
	const bytes = 4
	sum := sha256.Sum256(mustJSON(f))
	return hex.EncodeToString(sum[:bytes])
}

// AnotherPrinterError refuses what was asked of a printer while another one answers on its port.
type AnotherPrinterError struct{ AnotherPrinter }

func (e *AnotherPrinterError) Error() string { return e.Text }
func (e *AnotherPrinterError) Unwrap() error { return ErrAnotherPrinter }

// An acquaintance finds out who answers. Noise can damage an answer, and of two printers that say almost the same it can
// make one of the other; so nothing is believed that is not said several times in a row.
type acquaintance struct {
	kept  *logbook.Fingerprint // nil: it was never met
	said  logbook.Fingerprint  // what was said last
	times int                  // and how often in a row
	asked int
}

// answer is what follows from what a printer says of itself.
type answer int

const (
	askAgain    answer = iota
	saysKept           // the printer that is kept
	saysNew            // one where none was kept
	saysAnother        // another than the one that is kept
	saysUnclear        // it does not say the same often enough
)

// How often in a row a thing must be said. With one answer in ten damaged in one bit of a hundred, a printer that differs
// in that bit is taken for the one that is kept once in a million contacts; a damaged answer is kept once in a thousand million.
const (
	timesKnown = 2
	timesNew   = 3
	mostAsked  = 10 // before it is left alone for a while
)

// hears takes what was said and tells what follows.
func (a *acquaintance) hears(said logbook.Fingerprint) answer {
	if said != a.said {
		a.said, a.times = said, 0
	}
	a.times++
	a.asked++
	known := a.kept != nil && *a.kept == said
	switch {
	case known && a.times >= timesKnown:
		return saysKept
	case !known && a.times >= timesNew && a.kept != nil:
		return saysAnother
	case !known && a.times >= timesNew:
		return saysNew
	case a.asked >= mostAsked:
		return saysUnclear
	}
	return askAgain
}
