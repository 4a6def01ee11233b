package standin

import (
	"slices"
	"strings"
)

// Settings are the numbers that a firmware keeps, as rows of a word and its letters, in the order of M503.
type Settings []Row

// Row is one line of them: M92 with X, Y, Z and E.
type Row struct {
	Word    string
	Remark  string // what M503 says above it
	Letters string // one per value
	Values  []float64
}

func defaults(p Profile) Settings {
	s := Settings{
		{"M200", "Filament in cubic millimetres: switch, diameter", "SD", []float64{0, 0}},
		{"M92", "Steps per millimetre", "XYZE", p.StepsPerMM[:]},
		{"M203", "Highest feed rates, mm/s", "XYZE", p.MaxFeedMMPerS[:]},
		{"M201", "Highest accelerations, mm/s2", "XYZE", p.MaxAccelMMPerS2[:]},
		{"M204", "Accelerations, mm/s2: print, retract, travel", "PRT", []float64{1000, 1500, 1200}},
		{"M205", "Smallest speeds and jumps, mm/s (kept, not used)", "STXYZE", []float64{0, 0, 8, 8, 0.4, 5}},
		{"M207", "Retraction: length, mm/min, lift", "SFZ", []float64{1, 1800, 0}},
		{"M208", "Recovery: surplus, mm/min", "SF", []float64{0, 1800}},
		{"M301", "Nozzle control", "PID", []float64{11.4, 0.38, 0}},
		{"M304", "Bed control", "PID", []float64{26, 0.43, 0}},
	}
	return slices.Insert(s, 2, toolSettings(p)...).clone()
}

func (s Settings) clone() Settings {
	if s == nil {
		return nil
	}
	c := make(Settings, len(s))
	for i, r := range s {
		r.Values = append([]float64(nil), r.Values...)
		c[i] = r
	}
	return c
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

// get is Value for those that are always there.
func (s Settings) get(word string, letter byte) float64 {
	v, _ := s.Value(word, letter)
	return v
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
