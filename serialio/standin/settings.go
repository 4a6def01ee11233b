package standin

import "strings"

// Settings are the numbers that a firmware keeps, as rows of a word and its letters, in the order of M503.
type Settings []Row

// Row is one line of them: M92 with X, Y, Z and E.
type Row struct {
	Word    string
	Remark  string // what M503 says above it
	Letters string // one per value
	Values  []float64
}

func defaults(p *Profile) Settings {
	s := newSheet(10 + p.Tools)
	s.add("M200", "Filament in cubic millimetres: switch, diameter", "SD", 0, 0)
	s.add("M92", "Steps per millimetre", "XYZE", p.StepsPerMM[:]...)
	for tool := 1; p.ToolSettings && tool < p.Tools; tool++ {
		s.add(ofTool("M92", tool), "Steps per millimetre, another tool", "E", p.StepsPerMM[axisE])
	}
	s.add("M203", "Highest feed rates, mm/s", "XYZE", p.MaxFeedMMPerS[:]...)
	s.add("M201", "Highest accelerations, mm/s2", "XYZE", p.MaxAccelMMPerS2[:]...)
	s.add("M204", "Accelerations, mm/s2: print, retract, travel", "PRT", 1000, 1500, 1200)
	s.add("M205", "Smallest speeds and jumps, mm/s (kept, not used)", "STXYZE", 0, 0, 8, 8, 0.4, 5)
	s.add("M207", "Retraction: length, mm/min, lift", "SFZ", 1, 1800, 0)
	s.add("M208", "Recovery: surplus, mm/min", "SF", 0, 1800)
	s.add("M301", "Nozzle control", "PID", 11.4, 0.38, 0)
	s.add("M304", "Bed control", "PID", 26, 0.43, 0)
	return s.rows
}

// sheet is settings in the making; the values of all rows are in one piece of memory.
type sheet struct {
	rows   Settings
	values []float64
}

func newSheet(rows int) sheet {
	const usual = 48 // values; more take a piece of their own
	return sheet{make(Settings, 0, rows), make([]float64, 0, usual)}
}

func (s *sheet) add(word, remark, letters string, values ...float64) {
	begin := len(s.values)
	s.values = append(s.values, values...)
	s.rows = append(s.rows, Row{word, remark, letters, s.values[begin:len(s.values):len(s.values)]})
}

func (s Settings) clone() Settings {
	if s == nil {
		return nil
	}
	c := newSheet(len(s))
	for _, r := range s {
		c.add(r.Word, r.Remark, r.Letters, r.Values...)
	}
	return c.rows
}

func (s Settings) row(word string) *Row {
	for i := range s {
		if s[i].Word == word {
			return &s[i]
		}
	}
	return nil
}

// Value gives one number: Value("M92", 'E').
func (s Settings) Value(word string, letter byte) (float64, bool) {
	r := s.row(word)
	if r == nil {
		return 0, false
	}
	i := strings.IndexByte(r.Letters, letter)
	if i < 0 {
		return 0, false
	}
	return r.Values[i], true
}

// String is the row as the command that sets it again.
func (r Row) String() string {
	var b strings.Builder
	b.WriteString(r.Word)
	for i, v := range r.Values {
		b.WriteString(" " + r.Letters[i:i+1] + fixed(v, 2))
	}
	return b.String()
}
