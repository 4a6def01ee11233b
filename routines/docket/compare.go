package docket

import (
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
