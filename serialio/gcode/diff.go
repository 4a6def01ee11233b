package gcode

// A Difference is one number in which two settings reports differ: what is in use, and what is stored. Nil means that
// the report has no such number.
type Difference struct {
	Word   string   `json:"word"`   // "M92"
	Letter string   `json:"letter"` // "E"
	Tool   int      `json:"tool"`   // -1: none named
	InUse  *float64 `json:"in_use"`
	Stored *float64 `json:"stored"`
	Lost   bool     `json:"lost,omitempty"` // what was in use is so no longer: no word of ours sets it again
}

// place names one number of a report. A word that comes in several rows, such as "M145 S0" and "M145 S1", is told apart
// by which of them it is.
type place struct {
	word   string
	tool   int
	nth    int
	letter byte
}

// Diff compares the settings in use, a, with those stored, b: first in a's order, then what only b has.
func (a Settings) Diff(b Settings) []Difference {
	inUse, orderA := a.places()
	stored, orderB := b.places()
	var out []Difference
	note := func(p place) {
		x, hasX := inUse[p]
		y, hasY := stored[p]
		if hasX && hasY && x == y {
			return
		}
		d := Difference{Word: p.word, Letter: string(p.letter), Tool: p.tool}
		if hasX {
			d.InUse = &x
		}
		if hasY {
			d.Stored = &y
		}
		out = append(out, d)
	}
	for _, p := range orderA {
		note(p)
	}
	for _, p := range orderB {
		if _, both := inUse[p]; !both {
			note(p)
		}
	}
	return out
}

// places lists every number of a report by its place, and the places in the report's order.
func (s Settings) places() (map[place]float64, []place) {
	values, rows := map[place]float64{}, map[place]int{}
	var order []place
	for _, row := range s.Rows {
		p := place{word: row.Word, tool: row.Tool}
		nth := rows[p]
		rows[p]++
		for _, w := range row.Params {
			if w.Bare {
				continue
			}
			p.nth, p.letter = nth, w.Letter
			if _, seen := values[p]; !seen {
				order = append(order, p)
			}
			values[p] = w.Value
		}
	}
	return values, order
}
