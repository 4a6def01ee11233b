package gcode

// A Difference is one number in which two settings reports differ: what is in use, and what is stored. Nil means that
// the report has no such number.
type Difference struct {
	Word   string   `json:"word"`   // "M92"
	Letter string   `json:"letter"` // "E"
	Tool   int      `json:"tool"`   // -1: none named
	InUse  *float64 `json:"in_use"`
	Stored *float64 `json:"stored"`
}

// place names one number of a report. Rows of one word are told apart by an index letter where they have one: "M145 S1".
type place struct {
	word   string
	index  float64
	letter byte
	tool   int
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
	values := map[place]float64{}
	var order []place
	for _, row := range s.Rows {
		for _, w := range row.Params {
			if w.Bare {
				continue
			}
			p := place{word: row.Word, index: row.index(), letter: w.Letter, tool: row.Tool}
			if _, seen := values[p]; !seen {
				order = append(order, p)
			}
			values[p] = w.Value
		}
	}
	return values, order
}

// index is what tells rows of the same word apart: the first parameter of the words that come in several rows.
func (s Setting) index() float64 {
	switch s.Word {
	case "M145", "M421", "M420", "G29":
		if len(s.Params) > 0 && !s.Params[0].Bare {
			return s.Params[0].Value
		}
	}
	return 0
}
