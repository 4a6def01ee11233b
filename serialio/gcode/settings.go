package gcode

import "strings"

// A Setting is one row of a settings report (M503): "M92 T0 E93.00".
type Setting struct {
	Word   string `json:"word"` // "M92"
	Tool   int    `json:"tool"` // -1: the row names none
	Params []Word `json:"params"`
}

// Settings is a settings report as the printer gave it, in its order.
type Settings struct {
	Rows []Setting `json:"rows"`
}

// ParseSettings reads the lines of a settings report, with or without "echo:" and comments. Lines that are no command
// with parameters are passed over: they are headings.
func ParseSettings(lines []string) Settings {
	var out Settings
	for _, line := range lines {
		if row, ok := parseSetting(line); ok {
			out.Rows = append(out.Rows, row)
		}
	}
	return out
}

func parseSetting(line string) (Setting, bool) {
	line = strings.TrimSpace(line)
	if len(line) >= 5 && strings.EqualFold(line[:5], "echo:") {
		line = strings.TrimSpace(line[5:])
	}
	b, err := Parse(line)
	if err != nil || b.Words[0].Letter == 'T' || len(b.Words) < 2 {
		return Setting{}, false
	}
	row := Setting{Word: Block{Words: b.Words[:1]}.String(), Tool: -1}
	for _, w := range b.Words[1:] {
		if w.Letter == 'T' && !w.Bare && toolNamed(row.Word) && w.Value >= 0 && w.Value == float64(int(w.Value)) {
			row.Tool = int(w.Value)
			continue
		}
		row.Params = append(row.Params, w)
	}
	return row, true
}

// toolNamed reports whether a T behind that word names a tool. In M204 it is the travel acceleration, in M205 the
// least travel speed.
func toolNamed(word string) bool { return word != "M204" && word != "M205" }

// Line is the row printed as the command that sets it again.
func (s Setting) Line() string {
	b, err := Parse(s.Word)
	if err != nil {
		return ""
	}
	if s.Tool >= 0 {
		b.Words = append(b.Words, Word{Letter: 'T', Value: float64(s.Tool)})
	}
	b.Words = append(b.Words, s.Params...)
	return b.String()
}

// Value is the last number the report gives for a word and letter of a tool. A row that names no tool speaks for
// tool 0.
func (s Settings) Value(word string, letter byte, tool int) (float64, bool) {
	for i := len(s.Rows) - 1; i >= 0; i-- {
		row := s.Rows[i]
		if row.Word != word || (row.Tool != tool && (row.Tool != -1 || tool != 0)) {
			continue
		}
		if v, ok := (Block{Words: append([]Word{{}}, row.Params...)}).Value(letter); ok {
			return v, true
		}
	}
	return 0, false
}

// StepsPerMM is the extruder's setting (M92 E), steps/mm of filament.
func (s Settings) StepsPerMM(tool int) (float64, bool) { return s.Value("M92", 'E', tool) }
