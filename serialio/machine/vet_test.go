package machine

import (
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"fettle/serialio/gcode"
)

// programOf is a program of lines as a person writes them.
func programOf(t testing.TB, lines ...string) gcode.Program {
	t.Helper()
	blocks := make([]gcode.Block, len(lines))
	for i, line := range lines {
		b, err := gcode.Parse(line)
		if err != nil {
			t.Fatalf("%q: %v", line, err)
		}
		blocks[i] = b
	}
	return gcode.Program{Steps: func(yield func(gcode.Step) bool) {
		for _, b := range blocks {
			if !yield(gcode.Step{Block: b}) {
				return
			}
		}
	}}
}

// Invented pieces of programs, by what is right with them.
var fine = map[string]string{
	"a piece's own way":           "G28|G90|M83|G1 Z0.2 F300|G1 X20 Y20 F6000|G1 X40 E0.8 F1200|G1 E-1 F240|G0 X60 F9000|G1 E1 F240|M106 S128|M107",
	"absolute E from a zero":      "G28|M82|G92 E0|G1 X40 Y0 E1.5 F2400|G1 X80 E3",
	"speeds alone":                "G1 F1800|G1 F2400.5|G1 F600",
	"heat within limits":          "M104 S215|M140 S60|M104 S0|M140 S0",
	"the firmware's retraction":   "M207 S1.2 F240 Z0|M208 S0 F240|G28|G10|G0 X50 F6000|G11",
	"relative, and said so":       "G28|G91|M83|G1 X5 E0.1 F1200|G90|M83|G1 X50",
	"relative both by one word":   "G28|M83|G91|G1 X5 E0.1 F1200",
	"back in absolute":            "G28|G91|G90|G1 X5 E0.1 F1200",
	"a printer's own lines":       "G28|G29|M420 S1|G1 Z5 F600|G1 X5 Y5 F6000|M204 P500|M400",
	"where the head may be far":   "G1 X110 Y110 F6000",
	"a move as long as there may": "G28|G1 X100 F600",
	"a mode that changes nothing": "G21|G90|M82|G1 X1 F6000",
}

func TestVetLetsThrough(t *testing.T) {
	m := newBench().machine(1)
	for name, text := range fine {
		lines := strings.Split(text, "|")
		all, err := m.Vet(programOf(t, lines...))
		bytes := 0
		for _, l := range lines {
			bytes += len(l) + 1
		}
		if err != nil || all.Lines != len(lines) || all.Bytes != int64(bytes) {
			t.Errorf("%s: %+v, %v; want %d lines, %d bytes", name, all, err, len(lines), bytes)
		}
	}
}

func TestVetNamesTheLineAndWhatItTakes(t *testing.T) {
	m := newBench().machine(1) // 260 and 110 °C, 5 mm/s, 220 x 210 x 200 mm
	for text, want := range map[string]struct {
		line        int
		word        string
		why, accept string
	}{
		"M104 S200|M109 S200":                   {2, "M109", "stop would wait", "M104"},
		"M190 S60":                              {1, "M190", "stop would wait", "M104"},
		"G1 F600|G1 F600|G4 P100":               {3, "G4", "stop would wait", "pause"},
		"M221 S90":                              {1, "M221", "every feed", "asks"},
		"M220 S90":                              {1, "M220", "every speed", "asks"},
		"M500":                                  {1, "M500", "stores every setting", "feed check"},
		"M302 S0":                               {1, "M302", "cold extrusion", "routine"},
		"M92 E100":                              {1, "M92", "writes a setting", "feed check"},
		"M112":                                  {1, "M112", "no line", "Halt"},
		"G20":                                   {1, "G20", "millimetres", "millimetres"},
		"T1":                                    {1, "T1", "not on the list", "G0, G1, G10"},
		"M117":                                  {1, "M117", "not on the list", "M400"},
		"M105":                                  {1, "M105", "not on the list", "M400"},
		"M104 S261":                             {1, "M104", "261 °C", "0 to 260 °C"},
		"M140 S111":                             {1, "M140", "111 °C", "0 to 110 °C"},
		"M104":                                  {1, "M104", "says nothing alone", "S 0 to"},
		"G10 P1":                                {1, "G10", "P is none", "alone"},
		"G92 X0":                                {1, "G92", "X is none", "E -100000"},
		"G28 X5":                                {1, "G28", "X5 is outside", "X, Y, Z"},
		"M207 S1 F600":                          {1, "M207", "10 mm/s", "5 mm/s"},
		"G1 X5":                                 {1, "G1", "speed", "F"},
		"G28|G1 F6000 X221":                     {2, "G1", "X would go to 221", "X 0 to 220 mm"},
		"G28|G1 F6000 Z-0.1":                    {2, "G1", "Z would go to -0.1", "Z 0 to 200 mm"},
		"G28|G91|G1 X200 F6000|G1 X21":          {4, "G1", "X would go to 221", "X 0 to 220 mm"},
		"G91|G1 X5 F6000":                       {2, "G1", "where X stands", "G28"},
		"G28|G29|G91|G1 Y5 F6000":               {4, "G1", "where Y stands", "G28"},
		"G28|M83|G1 E1 F600":                    {3, "G1", "10 mm/s", "5 mm/s"},
		"G28|M83|G1 X10 E2 F1800|G1 X20":        {3, "G1", "6 mm/s", "5 mm/s"},
		"G28|G92 E0|G1 E1 F240|G1 X1 E-1 F1800": {4, "G1", "60 mm/s", "5 mm/s"},
		"G28|G1 X101 F600":                      {2, "G1", "10 s", "10 s"},
		"M83|G1 E21 F120":                       {2, "G1", "10 s", "10 s"}, // 21 mm at 2 mm/s are 10.5 s
		"G1 Z10 F600":                           {1, "G1", "19 s", "10 s"}, // from 200 mm up, for all that is known
		"G28|G91|G1 X1 E0.1 F600":               {3, "G1", "overrule", "M82 or M83"},
		"G28|M83|G90|G1 X1 E0.1 F600":           {4, "G1", "overrule", "M82 or M83"},
		"G1 X1.12345678901234 Y1.12345678901234 Z1.12345678901234 F6000": {1, "G1", "bytes", "at most"},
	} {
		lines := strings.Split(text, "|")
		_, err := m.Vet(programOf(t, lines...))
		var refused *RefusedLine
		var word *RefusedError
		if !errors.As(err, &refused) || !errors.As(err, &word) || refused.Line != want.line || word.Word != want.word ||
			!strings.Contains(word.Why, want.why) || !strings.Contains(word.Accept, want.accept) {
			t.Errorf("%s: %v; want line %d, %s, %q, %q", text, err, want.line, want.word, want.why, want.accept)
		}
	}
}

// What no text can say, a block made by hand can.
func TestVetHoldsBlocksThatNobodyParsed(t *testing.T) {
	m := newBench().machine(1)
	x := func(v float64) gcode.Word { return gcode.Word{Letter: 'X', Value: v} }
	g1, f := gcode.Word{Letter: 'G', Value: 1}, gcode.Word{Letter: 'F', Value: 6000}
	for _, words := range [][]gcode.Word{nil, {g1, x(1), x(500), f}, {g1, x(math.NaN()), f}, {g1, x(math.Inf(1)), f},
		{g1, {Letter: 'X', Bare: true}, f}, {{Letter: 'g', Value: 1}, x(1), f}, {{Letter: 'G', Value: 1.5}, x(1), f},
		{{Letter: 'G', Bare: true}}, {g1, x(1), {Letter: '\n'}, f}, {{Letter: 'G', Value: math.NaN()}}} {
		p := gcode.Program{Steps: func(yield func(gcode.Step) bool) { yield(gcode.Step{Block: gcode.Block{Words: words}}) }}
		var refused *RefusedLine
		if _, err := m.Vet(p); !errors.As(err, &refused) || refused.Line != 1 {
			t.Errorf("%v: %v", words, err)
		}
	}
}

func TestNoSetupNoMove(t *testing.T) {
	m := New(newBench(), 1)
	for _, line := range []string{"G1 X1 F600", "M83|G1 E1 F60", "M104 S200", "M140 S50"} {
		if _, err := m.Vet(programOf(t, strings.Split(line, "|")...)); err == nil {
			t.Errorf("%s passes without a setup", line)
		}
	}
	if _, err := m.Vet(programOf(t, "G1 F600", "M104 S0", "M107")); err != nil {
		t.Error(err)
	}
}

// A way and a speed say how long a move lasts; a program that says so itself is believed.
func TestVetSaysHowLongItLasts(t *testing.T) {
	m := newBench().machine(1)
	all, err := m.Vet(programOf(t, "G28", "G1 X30 Y40 F3000", "M83", "G1 E2 F120")) // 50 mm at 50 mm/s, 2 mm at 2 mm/s
	if err != nil || all.Lasts != 2*time.Second {
		t.Errorf("%v, %v", all.Lasts, err)
	}
	own := gcode.Program{Steps: func(yield func(gcode.Step) bool) {
		yield(gcode.Step{Block: block("G1", 'X', 30.0, 'F', 6000.0), Lasts: 3 * time.Second})
	}}
	if all, err = m.Vet(own); err != nil || all.Lasts != 3*time.Second {
		t.Errorf("%v, %v", all.Lasts, err)
	}
}

func TestReachOf(t *testing.T) {
	for text, want := range map[string]Reach{
		"G1 F600|G90|M104 S0|M106 S0|M107": {},
		"G1 F600|G1 X5":                    {Moves: true},
		"G28":                              {Moves: true},
		"G10":                              {Moves: true},
		"M104 S200":                        {Heats: true},
		"M140 S60|M106 S9":                 {Heats: true, Fans: true},
		"M207 S1|M204 P500|M207 S2":        {Sets: []string{"M207", "M204"}},
	} {
		got := ReachOf(programOf(t, strings.Split(text, "|")...))
		if got.Moves != want.Moves || got.Heats != want.Heats || got.Fans != want.Fans || !slices.Equal(got.Sets, want.Sets) {
			t.Errorf("%s: %+v, want %+v", text, got, want)
		}
	}
}

func TestVetAllocatesNothingPerLine(t *testing.T) {
	m := newBench().machine(1)
	allocations := func(lines int) float64 {
		p := zigzag(lines)
		return testing.AllocsPerRun(5, func() {
			if _, err := m.Vet(p); err != nil {
				t.Fatal(err)
			}
		})
	}
	if few, many := allocations(100), allocations(20_000); many > few {
		t.Errorf("%g allocations for 100 lines, %g for 20,000", few, many)
	}
}

// zigzag is a program of so many moves, made as they are pulled, into room of its own.
func zigzag(lines int) gcode.Program {
	return gcode.Program{Steps: func(yield func(gcode.Step) bool) {
		words := []gcode.Word{{Letter: 'G', Value: 1}, {Letter: 'X'}, {Letter: 'Y'}, {Letter: 'F', Value: 6000}}
		for i := range lines {
			words[1].Value, words[2].Value = 100+float64(i%7)*0.125, 90+float64(i%5)*0.25
			if !yield(gcode.Step{Block: gcode.Block{Words: words}}) {
				return
			}
		}
	}}
}

// Whatever words are put together: what Vet lets through stays, on a printer of its own reckoning, in the build volume,
// within the speed of filament, and in moves of at most 10 s.
func TestWhatIsLetThroughStaysWithinLimits(t *testing.T) {
	passed := 0
	rapid.Check(t, func(rt *rapid.T) {
		lines := append([]string{"G28"}, rapid.SliceOfN(anyLine(), 1, 25).Draw(rt, "lines")...)
		m := newBench().machine(1)
		for len(lines) > 0 { // without what is refused, the rest must hold
			p := programOf(t, lines...)
			_, err := m.Vet(p)
			var refused *RefusedLine
			if err == nil {
				break
			} else if !errors.As(err, &refused) {
				rt.Fatalf("%v: %v", lines, err)
			}
			lines = slices.Delete(lines, refused.Line-1, refused.Line)
		}
		passed += len(lines)
		obeyWithin(rt, lines)
	})
	t.Logf("%d lines passed", passed)
}

// obeyWithin is a printer that reckons for itself. It is at 0 after G28, and lets G90 and G91 overrule E or does not.
func obeyWithin(rt *rapid.T, lines []string) {
	for _, overrules := range []bool{false, true} {
		b := newBench()
		feed := 0.0
		for _, line := range lines {
			blk, _ := gcode.Parse(line)
			f, ok := blk.Value('F')
			if ok && (blk.Is("G0") || blk.Is("G1")) {
				feed = f
			}
			x, y, z, e := b.x, b.y, b.z, b.e
			b.obey(line)
			if overrules && (blk.Is("G90") || blk.Is("G91")) {
				b.feedRelative = b.relative
			}
			way := math.Hypot(math.Hypot(b.x-x, b.y-y), b.z-z)
			fed := math.Abs(b.e - e)
			moved := blk.Is("G0") || blk.Is("G1")
			if !moved || (way == 0 && fed == 0) {
				continue
			}
			lasts := way / (feed / 60)
			if way == 0 {
				lasts = fed / (feed / 60)
			}
			const slack = 1 + 1e-6
			if fed/lasts > 5*slack || lasts > 10*slack || b.x < -1e-9 || b.x > 220+1e-9 || b.y < -1e-9 || b.y > 210+1e-9 || b.z < -1e-9 || b.z > 200+1e-9 {
				rt.Fatalf("overrules %t: %q of %v: %g s, %g mm/s, at %g %g %g", overrules, line, lines, lasts, fed/lasts, b.x, b.y, b.z)
			}
		}
	}
}

func anyLine() *rapid.Generator[string] {
	return rapid.Custom(func(rt *rapid.T) string {
		word := rapid.SampledFrom([]string{"G90", "G91", "M82", "M83", "G92 E0", "G92 E7", "G1", "G1", "G1", "G0"}).Draw(rt, "word")
		if word != "G1" && word != "G0" {
			return word
		}
		for _, l := range "XYZEF" {
			if rapid.Bool().Draw(rt, "has") {
				v := rapid.Float64Range(-30, 240).Draw(rt, "value")
				switch l {
				case 'F':
					v = rapid.Float64Range(1, 6000).Draw(rt, "speed")
				case 'E':
					v = rapid.Float64Range(-5, 5).Draw(rt, "feed")
				}
				word += " " + string(l) + strconv.FormatFloat(round(v, 2), 'f', -1, 64)
			}
		}
		return word
	})
}
