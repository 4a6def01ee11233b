package gcode

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// report is a settings report in the dialect's usual form; its numbers are invented.
var report = strings.Split(strings.TrimSpace(`
echo:; Linear Units:
echo:  G21 ; (mm)
echo:; Steps per unit:
echo:  M92 X80.00 Y80.00 Z400.00 E93.00
M203 X300.00 Y300.00 Z5.00 E25.00
echo:; Material heatup parameters:
echo:  M145 S0 H185.00 B45.00 F255
echo:  M145 S1 H240.00 B110.00 F0
echo:  M204 P500.00 R500.00 T750.00
; a heading
echo:Home offset:
ok
`), "\n")

func TestSettings(t *testing.T) {
	s := ParseSettings(report)
	if len(s.Rows) != 5 {
		t.Fatalf("%d rows: %+v", len(s.Rows), s.Rows)
	}
	if v, ok := s.StepsPerMM(0); !ok || v != 93 {
		t.Errorf("steps/mm %v, %t", v, ok)
	}
	if _, ok := s.StepsPerMM(1); ok {
		t.Error("tool 1 has steps/mm, and no row names it")
	}
	if v, ok := s.Value("M204", 'T', 0); !ok || v != 750 {
		t.Errorf("travel acceleration %v, %t: T names no tool there", v, ok)
	}
	if got := s.Rows[0].Line(); got != "M92 X80 Y80 Z400 E93" {
		t.Errorf("set again by %q", got)
	}
}

func TestSettingsPerTool(t *testing.T) {
	s := ParseSettings([]string{"M92 X80 Y80 Z400", "echo: M92 T0 E93.00", "M92 T1 E415.5"})
	for tool, want := range map[int]float64{0: 93, 1: 415.5} {
		if v, ok := s.StepsPerMM(tool); !ok || v != want {
			t.Errorf("tool %d: %v, %t", tool, v, ok)
		}
	}
	if got := s.Rows[2].Line(); got != "M92 T1 E415.5" {
		t.Errorf("set again by %q", got)
	}
}

func TestDiff(t *testing.T) {
	inUse := ParseSettings(report)
	stored := ParseSettings(strings.Split(strings.NewReplacer("E93.00", "E95.88", "H240.00", "H245.00", "T750.00", "").Replace(strings.Join(report, "\n")), "\n"))
	got, err := json.Marshal(inUse.Diff(stored))
	if err != nil {
		t.Fatal(err)
	}
	want := `[{"word":"M92","letter":"E","tool":-1,"in_use":93,"stored":95.88},{"word":"M145","letter":"H","tool":-1,"in_use":240,"stored":245},` +
		`{"word":"M204","letter":"T","tool":-1,"in_use":750,"stored":null}]`
	if string(got) != want {
		t.Errorf("got %s", got)
	}
	if d := inUse.Diff(inUse); len(d) != 0 {
		t.Errorf("a report differs from itself: %+v", d)
	}
}

// TestSettingsReadBack: rows printed as commands read back as the same rows, through JSON as well.
func TestSettingsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var lines []string
		for range rapid.IntRange(0, 5).Draw(t, "rows") {
			lines = append(lines, anyBlock(t).String())
		}
		s := ParseSettings(lines)
		var again []string
		for _, row := range s.Rows {
			again = append(again, row.Line())
		}
		if back := ParseSettings(again); len(back.Diff(s)) != 0 || len(back.Rows) != len(s.Rows) {
			t.Fatalf("%q read back as %+v", again, back)
		}
		text, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		var fromJSON Settings
		if err := json.Unmarshal(text, &fromJSON); err != nil || len(fromJSON.Rows) != len(s.Rows) || len(fromJSON.Diff(s)) != 0 {
			t.Fatalf("%s read back as %+v, %v", text, fromJSON, err)
		}
	})
}

func TestWordJSON(t *testing.T) {
	text, err := json.Marshal(Word{Letter: 'E', Value: 93})
	if err != nil || string(text) != `{"letter":"E","value":93}` {
		t.Errorf("%s, %v", text, err)
	}
	var w Word
	for _, bad := range []string{`{"letter":"","value":1}`, `{"letter":"*","value":1}`, `{"letter":"E","value":1e12}`, `7`} {
		if json.Unmarshal([]byte(bad), &w) == nil {
			t.Errorf("%s was taken", bad)
		}
	}
	if err := json.Unmarshal(text, &w); err != nil || !reflect.DeepEqual(w, Word{Letter: 'E', Value: 93}) {
		t.Errorf("%+v, %v", w, err)
	}
}

func FuzzParseSettings(f *testing.F) {
	f.Add(strings.Join(report, "\n"))
	f.Add(strings.Join(saidInTranscripts(f), "\n"))
	f.Fuzz(func(t *testing.T, text string) {
		s := ParseSettings(strings.Split(text, "\n"))
		for _, row := range s.Rows {
			if _, err := Parse(row.Line()); err != nil {
				t.Fatalf("%+v is set again by %q: %v", row, row.Line(), err)
			}
		}
		var printed []string
		for _, row := range s.Rows {
			printed = append(printed, row.Line())
		}
		if again := ParseSettings(printed); len(again.Rows) != len(s.Rows) || len(again.Diff(s)) != 0 {
			t.Fatalf("%q printed %q, which is %+v", text, printed, again)
		}
		if len(s.Diff(s)) != 0 {
			t.Fatalf("%q differs from itself", text)
		}
	})
}
