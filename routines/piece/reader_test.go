package piece

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"fettle/serialio/gcode"
)

// A reader of G-code that knows nothing of the package: it takes printed lines apart by itself and follows what a printer
// would do (RS274/NGC, NIST IR 6556: absolute moves, G92 renames the present place).
type reader struct {
	x, y, z, e  float64
	drawnMM     float64 // how far the filament is drawn back
	firmwareMM  float64 // of M207
	segments    []segment
	strokes     int
	lowestDrawn float64
}

// segment is one move of the axes.
type segment struct {
	x0, y0, x1, y1, z float64
	fed               float64 // filament pushed, mm
	drawnMM           float64 // while it went
	mmPerS            float64
}

func (s segment) long() float64 { return math.Hypot(s.x1-s.x0, s.y1-s.y0) }

func (r *reader) read(t *testing.T, line string) {
	t.Helper()
	words := map[byte]float64{}
	for _, w := range strings.Fields(line) {
		v, err := strconv.ParseFloat(w[1:], 64)
		if err != nil {
			t.Fatalf("%q: %v", line, err)
		}
		words[w[0]] = v
	}
	switch word, _, _ := strings.Cut(line, " "); word {
	case "G0", "G1":
		r.move(words)
	case "G10":
		r.drawnMM = r.firmwareMM
		r.strokes++
	case "G11":
		r.drawnMM = 0
	case "G92":
		r.e = words['E']
	case "M207":
		r.firmwareMM = words['S']
	case "G90", "M82", "M106", "M208", "M400":
	default:
		t.Fatalf("a word that no piece needs: %q", line)
	}
}

func (r *reader) move(w map[byte]float64) {
	to := func(letter byte, now float64) float64 {
		if v, ok := w[letter]; ok {
			return v
		}
		return now
	}
	x, y, z, e := to('X', r.x), to('Y', r.y), to('Z', r.z), to('E', r.e)
	s := segment{r.x, r.y, x, y, z, e - r.e, r.drawnMM, w['F'] / 60}
	if s.long() == 0 && e != r.e { // a stroke
		if e < r.e {
			r.strokes++
		}
		r.drawnMM -= e - r.e
		if math.Abs(r.drawnMM) < 1e-4 {
			r.drawnMM = 0
		}
		r.lowestDrawn = math.Min(r.lowestDrawn, r.drawnMM)
	} else {
		r.segments = append(r.segments, s)
	}
	r.x, r.y, r.z, r.e = x, y, z, e
}

// readPart reads a program as a printer would be sent it.
func (r *reader) readPart(t *testing.T, p gcode.Program) {
	t.Helper()
	for s := range p.Steps {
		r.read(t, s.Block.String())
	}
}
