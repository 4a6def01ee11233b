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

// An acquaintance finds out who answers. Noise can damage an answer, so what differs from what is kept, and what is
// heard for the first time, is believed only when it is said twice in a row.
type acquaintance struct {
	kept   *logbook.Fingerprint // nil: it was never met
	before *logbook.Fingerprint // what was said last
	asked  int
}

// answer is what follows from what a printer says of itself.
type answer int

const (
	askAgain    answer = iota
	saysKept           // the printer that is kept
	saysNew            // one where none was kept
	saysAnother        // another than the one that is kept
	saysUnclear        // it does not say the same twice
)

// mostAsked is how often it is asked who it is before it is left alone for a while. Where one answer in ten is damaged,
// no two in a row agree once in 16,000 times.
const mostAsked = 10

// hears takes what was said and tells what follows.
func (a *acquaintance) hears(said logbook.Fingerprint) answer {
	a.asked++
	if a.kept != nil && *a.kept == said {
		return saysKept
	}
	if a.before != nil && *a.before == said {
		if a.kept == nil {
			return saysNew
		}
		return saysAnother
	}
	a.before = &said
	if a.asked >= mostAsked {
		return saysUnclear
	}
	return askAgain
}
