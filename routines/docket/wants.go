package docket

import (
	"encoding/json"
	"slices"

	"fettle/routines"
)

// A Want is what a setting should be, and where that is from.
type Want struct {
	Number
	From string
}

// Wants lists what the entries of a printer say that its settings should be: steps/mm as proved, the retraction as it was
// handed over where the firmware has it, the rest as it was when it was last taken for good.
func Wants(entries []Entry) []Want {
	var wants []Want
	retracts := false
	if h, e, ok := lastToFirmware(entries); ok {
		retracts = true
		for _, n := range h.Numbers() {
			wants = append(wants, Want{n, "handed over for " + e.Material})
		}
	}
	steps, _ := kindNamed(StepsPerMM)
	f := newFold(entries, routines.Setup{}, routines.Material{})
	if line := f.line(steps); len(line) > 0 {
		last := line[len(line)-1]
		wants = append(wants, Want{Number{"M92", "E", *last.Value}, f.origin(steps, last).How})
	}
	body, e, ok := lastSettings(entries)
	for _, n := range body.Numbers {
		firmware := n.Word == "M207" || n.Word == "M208"
		if !ok || retracts && firmware || slices.ContainsFunc(wants, func(w Want) bool { return w.sameAs(n) }) {
			continue
		}
		wants = append(wants, Want{n, "as read on " + e.At.UTC().Format("2006-01-02")})
	}
	return wants
}

// lastSettings are the settings that later ones are compared with: none after a person has changed them.
func lastSettings(entries []Entry) (b SettingsBody, e Entry, ok bool) {
	for _, e := range slices.Backward(entries) {
		if c, ok := recorded(e); ok && c.retakes() {
			break
		}
		if e.Kind == KindSettings && json.Unmarshal(e.Body, &b) == nil {
			return b, e, true
		}
	}
	return b, e, false
}

// retakes reports whether a change is about the settings themselves. Firmware that was reset or renewed is not: what it
// has now is to be compared with what was.
func (c Change) retakes() bool { return c.What == "acceleration" || c.What == "motor_setting" }

// Seen reports whether there are settings to compare with.
func Seen(entries []Entry) bool {
	_, _, ok := lastSettings(entries)
	return ok
}

// lastToFirmware is the hand-over whose values the firmware should have.
func lastToFirmware(entries []Entry) (HandoverBody, Entry, bool) {
	for _, e := range slices.Backward(entries) {
		if b, ok := handover(e); ok && b.To == Firmware {
			return b, e, true
		}
	}
	return HandoverBody{}, Entry{}, false
}
