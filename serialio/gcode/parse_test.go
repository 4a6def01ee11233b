package gcode

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestGrammar holds Parse to points of RS274/NGC (NIST IR 6556, "The NIST RS274NGC Interpreter, Version 3", 2000,
// section 3.3); where the dialect of printers is narrower, the comment says so.
func TestGrammar(t *testing.T) {
	for text, want := range map[string]string{
		"g0x +0. 12 34y 7":        "G0 X0.1234 Y7", // the report's own example of blanks anywhere
		"G1 X10 (to the left) Y5": "G1 X10 Y5",     // comments are parentheses
		"g1x-.5":                  "G1 X-0.5",      // letters in either case, a number needs no digit before its point
		"G01 X007.500":            "G1 X7.5",       // leading zeros
		"G1 X5.":                  "G1 X5",         // a point at the end
		"G1 X+5":                  "G1 X5",
		"G38.2 Z-1":               "G38.2 Z-1", // a code may have a decimal
		"M92 E\t93.00":            "M92 E93",
		"G28 X Y":                 "G28 X Y", // dialect: a letter alone
		"M105 ; ask (twice":       "M105",    // dialect: ';' to the end
		"T0":                      "T0",      // dialect: a tool alone
		"M104 T1 S200\n":          "M104 T1 S200",
		"G1 X-0":                  "G1 X0",
	} {
		b, err := Parse(text)
		if err != nil || b.String() != want {
			t.Errorf("%q reads as %q, %v; want %q", text, b.String(), err, want)
		}
	}
}

// TestRefusals: what the grammar does not have is refused at its byte.
func TestRefusals(t *testing.T) {
	for text, at := range map[string]int{
		"":                               0,
		"; nothing":                      9,
		"N5 M105":                        0, // the line's own business
		"M105*57":                        4,
		"X10":                            0, // dialect: the command comes first
		"G1 X10 X20":                     7, // RS274/NGC: each letter once, G and M aside
		"G1 G28":                         3, // dialect: one command
		"M104 S200 M140":                 10,
		"G1 X--5":                        4,
		"G1 X1.2.3":                      7,
		"G1 X.":                          4,
		"G1 X+":                          4,
		"G":                              1,
		"G1 (open":                       3,
		"G1 (a (b) c)":                   3, // RS274/NGC: comments do not nest
		"G1 X1\nM104 S250":               5,
		"G1 ; x\nM104 S250":              6,
		"G1 X0x10":                       5, // the letter again
		"G1 XNaN":                        4,
		"G1 X1000000000":                 4,
		"G-1":                            1,
		"G10000":                         1,
		"M117 caf\xc3\xa9":               8,
		"G1 X" + strings.Repeat("1", 40): 28,
		strings.Repeat(" ", 300):         256,
	} {
		_, err := Parse(text)
		var syntax *SyntaxError
		if !errors.As(err, &syntax) {
			t.Errorf("%q was taken", text)
			continue
		}
		if syntax.Found == "" || syntax.Accept == "" || syntax.At != at {
			t.Errorf("%q: %v, want byte %d", text, err, at)
		}
	}
}

// TestNoExponent: "G1 X1e3" is the word X1 and the word E3, as RS274/NGC has it: a number has no exponent.
func TestNoExponent(t *testing.T) {
	b, err := Parse("G1 X1e3")
	if x, _ := b.Value('X'); err != nil || x != 1 {
		t.Errorf("%v, %v", b, err)
	}
	if e, _ := b.Value('E'); e != 3 {
		t.Errorf("%v", b)
	}
}

// anyBlock draws a block that can be built.
func anyBlock(t *rapid.T) Block {
	letters := rapid.Permutation([]byte("ABCDEFHIJKLOPQRSTUVWXYZ")).Draw(t, "letters")
	b := Block{Words: []Word{{Letter: rapid.SampledFrom([]byte("GM")).Draw(t, "command"), Value: float64(rapid.IntRange(0, 9999).Draw(t, "code"))}}}
	for _, letter := range letters[:rapid.IntRange(0, 6).Draw(t, "words")] {
		w := Word{Letter: letter, Bare: rapid.Bool().Draw(t, "bare")}
		if !w.Bare {
			w.Value = float64(rapid.Int64Range(-1e12, 1e12).Draw(t, "thousandths")) / 1e4
		}
		b.Words = append(b.Words, w)
	}
	return b
}

// TestPrintAndParse: what is printed reads back as the same block, and prints the same once more.
func TestPrintAndParse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := anyBlock(t)
		text := b.String()
		back, err := Parse(text)
		if err != nil || !reflect.DeepEqual(back, b) || back.String() != text {
			t.Fatalf("%q read back as %q, %v", text, back, err)
		}
		for _, c := range []byte(text) {
			if c < 0x20 || c > 0x5f || c == '*' {
				t.Fatalf("%q holds %q, which spoils the checksum's promise", text, c)
			}
		}
	})
}

func TestWhatCannotBePrintedPrintsAsNothing(t *testing.T) {
	for _, w := range []Word{{Letter: 'X', Value: math.NaN()}, {Letter: 'X', Value: math.Inf(-1)}, {Letter: 'X', Value: 1e9}, {Letter: '*', Value: 1}} {
		if text := (Block{Words: []Word{{Letter: 'G', Value: 1}, w}}).String(); text != "" {
			t.Errorf("%v printed as %q", w, text)
		}
	}
	b := Block{Words: []Word{{Letter: 'M', Value: 104}, {Letter: 'S', Value: 205.5}}}
	if b.String() != "M104 S205.5" || !b.Is("M104") || b.Is("M10") || b.Is("") {
		t.Errorf("printed %q", b)
	}
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{"g0x +0. 12 34y 7", "G1 X10 E2.5 F1800", "M92 T0 E93.00 ; x", "G28 (a) X", "M104 S1e9"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		b, err := Parse(text)
		if err != nil {
			return
		}
		printed := b.String()
		again, err := Parse(printed)
		if err != nil || again.String() != printed {
			t.Fatalf("%q printed %q, which reads as %q, %v", text, printed, again, err)
		}
		if strings.ContainsAny(printed, "*;(\n\r") || strings.ToUpper(printed) != printed {
			t.Fatalf("%q printed %q", text, printed)
		}
	})
}
