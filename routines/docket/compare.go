package docket

import (
	"encoding/json"
	"fmt"
	"slices"

	"fettle/serialio/gcode"
)

// A Number is one setting of a printer.
type Number struct {
	Word   string  `json:"word"`   // "M201"
	Letter string  `json:"letter"` // "X"
	Value  float64 `json:"value"`
}

// SettingsBody is what the entry of a printer's settings holds.
type SettingsBody struct {
	Numbers []Number `json:"numbers"`
}

// Compared lists the numbers of a settings report that values rest on: steps/mm of the extruder, the highest accelerations
// and speeds, the accelerations in use, and what the firmware pulls back.
func Compared(s gcode.Settings) []Number {
	out := []Number{}
	for _, row := range s.Rows {
		for _, p := range row.Params {
			n := Number{row.Word, string(rune(p.Letter)), p.Value}
			if p.Bare || row.Tool > 0 || !compares(n) || slices.ContainsFunc(out, n.sameAs) {
				continue
			}
			n.Value, _ = s.Value(row.Word, p.Letter, 0)
			out = append(out, n)
		}
	}
	return out
}

func compares(n Number) bool {
	switch n.Word {
	case "M92":
		return n.Letter == "E"
	case "M201", "M203", "M204", "M207", "M208":
		return true
	}
	return false
}

// sameAs reports whether two numbers are of one setting.
func (n Number) sameAs(other Number) bool { return n.Word == other.Word && n.Letter == other.Letter }

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
		for _, n := range h.numbers() {
			wants = append(wants, Want{n, "handed over for " + e.Material})
		}
	}
	steps, _ := kindNamed(StepsPerMM)
	f := fold{entries: entries}
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
		if c, ok := recorded(e); ok && e.Kind == KindChange && c.retakes() {
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

// A Difference is one setting that is another than it should be. Nothing sets it right by itself.
type Difference struct {
	Word    string   `json:"word"`
	Letter  string   `json:"letter"`
	Label   string   `json:"label"`
	Unit    string   `json:"unit"`
	Docket  *float64 `json:"docket,omitempty"`
	Printer *float64 `json:"printer,omitempty"`
	From    string   `json:"from"` // where the docket's number is from
	Text    string   `json:"text"`
}

// Compare holds a printer's settings against what they should be. A printer that reports nothing is not compared.
func Compare(wants []Want, s gcode.Settings) []Difference {
	out := []Difference{}
	if len(s.Rows) == 0 {
		return out
	}
	for _, w := range wants {
		now, ok := s.Value(w.Word, w.Letter[0], 0)
		if ok && alike(now, w.Value) {
			continue
		}
		out = append(out, difference(w, now, ok))
	}
	return out
}

// alike compares two numbers as a settings report prints them, with two decimals.
func alike(a, b float64) bool { return a-b < 0.0051 && b-a < 0.0051 }

func difference(w Want, now float64, reported bool) Difference {
	should := w.Value
	d := Difference{Word: w.Word, Letter: w.Letter, From: w.From, Docket: &should}
	d.Label, d.Unit = settingWords(w.Number)
	has := "reports none"
	if reported {
		d.Printer, has = &now, "has "+plain(now)
	}
	d.Text = fmt.Sprintf("%s: the docket has %s, the printer %s (%s %s)", d.Label, plain(should), has, d.Word, d.Letter)
	return d
}

// settingWords names a setting and its unit, as the open dialect of these printers has them (from memory).
func settingWords(n Number) (label, unit string) {
	switch n.Word + n.Letter {
	case "M92E":
		return "Steps/mm", "steps/mm"
	case "M204P", "M204S":
		return "Acceleration of printing", "mm/s²"
	case "M204R":
		return "Acceleration of retracting", "mm/s²"
	case "M204T":
		return "Acceleration of travelling", "mm/s²"
	case "M207S":
		return "Retraction length", "mm"
	case "M207F":
		return "Retract speed", "mm/min"
	case "M207Z":
		return "Lift at a retraction", "mm"
	case "M208S":
		return "Restart surplus", "mm"
	case "M208F":
		return "Restart speed", "mm/min"
	}
	switch n.Word {
	case "M201":
		return "Highest acceleration of " + n.Letter, "mm/s²"
	case "M203":
		return "Highest speed of " + n.Letter, "mm/s"
	}
	return n.Word + " " + n.Letter, ""
}
