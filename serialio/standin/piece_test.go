package standin

import (
	"fmt"
	"math"
	"testing"
	"time"
)

// row is a piece of this test's own: posts on a foot with gaps between them, printed in bands of 3 mm.
type row struct {
	gaps      []float64
	lengths   []float64 // of the retraction, from the bottom
	travel    float64   // mm/s
	layers    int       // of a band
	layerMM   float64
	stopAfter int  // layers in all; 0: none is left out
	firmware  bool // G10 and G11
}

const (
	rowLeftMM, rowYMM, rowPostMM = 40.0, 60.0, 10.0
	rowWideMM                    = 0.45
)

func (r row) posts() []float64 {
	lefts := []float64{rowLeftMM}
	for _, g := range r.gaps {
		lefts = append(lefts, lefts[len(lefts)-1]+rowPostMM+g)
	}
	return lefts
}

// bead is G-code of one strand; E is relative.
func bead(fromX, fromY, toX, toY, highMM float64) string {
	mm := math.Hypot(toX-fromX, toY-fromY)
	return fmt.Sprintf("G1 X%.2f Y%.2f E%.4f", toX, toY, mm*rowWideMM*highMM/(math.Pi*1.75*1.75/4))
}

// lines is the whole piece.
func (r row) lines() []string {
	lefts := r.posts()
	last := lefts[len(lefts)-1] + rowPostMM
	out := []string{"G28", "G90", "M83", "G1 Z0.3 F600", fmt.Sprintf("G0 X%.2f Y%.2f F6000", rowLeftMM-2, rowYMM-2), "G1 F1800"}
	for i := range 30 {
		y := rowYMM - 2 + 0.5*float64(i)
		from, to := rowLeftMM-2, last+2
		if i%2 == 1 {
			from, to = to, from
		}
		out = append(out, bead(from, y, to, y, 0.3), bead(to, y, to, y+0.5, 0.3))
	}
	for layer := range len(r.lengths) * r.layers {
		if r.stopAfter > 0 && layer == r.stopAfter {
			break
		}
		out = append(out, fmt.Sprintf("G1 Z%.3f F600", 0.3+r.layerMM*float64(layer+1)))
		out = append(out, r.layer(lefts, layer%2 == 1, r.lengths[layer/r.layers])...)
	}
	return append(out, fmt.Sprintf("G1 Z%.2f F600", 0.3+r.layerMM*float64(len(r.lengths)*r.layers)+20), "G0 X5 Y150 F6000", "M400")
}

func (r row) layer(lefts []float64, back bool, mm float64) (out []string) {
	draw, give := fmt.Sprintf("G1 E%.3f F1800", -mm), fmt.Sprintf("G1 E%.3f F1800", mm)
	if r.firmware {
		out = append(out, fmt.Sprintf("M207 S%.3f F1800", mm), "M208 S0 F1800")
		draw, give = "G10", "G11"
	}
	for i := range lefts {
		left := lefts[i]
		if back {
			left = lefts[len(lefts)-1-i]
		}
		near, far := left+rowWideMM/2, left+rowPostMM-rowWideMM/2
		if back {
			near, far = far, near
		}
		out = append(out, draw, fmt.Sprintf("G0 X%.2f Y%.2f F%.0f", near, rowYMM, r.travel*60), give, "G1 F2700")
		const columns = 6
		for c := range columns {
			x := near + (far-near)*float64(c)/(columns-1)
			y, next := rowYMM, rowYMM+rowPostMM
			if c%2 == 1 {
				y, next = next, y
			}
			out = append(out, bead(x, y, x, next, r.layerMM))
			if c < columns-1 {
				out = append(out, bead(x, next, x+(far-near)/(columns-1), next, r.layerMM))
			}
		}
	}
	return out
}

// stream sends lines as a host does: the next when the one before is answered.
func stream(t testing.TB, f *Firmware, lines []string) {
	t.Helper()
	for _, line := range lines {
		f.Hear([]byte(line + "\n"))
		for f.Say() == nil {
			due, any := f.Due()
			if !any {
				t.Fatalf("no answer to %s", line)
			}
			f.Advance(due)
		}
	}
}

// warm is a printer that stands at its material's temperature.
func warm(t testing.TB, p Profile) *Firmware {
	t.Helper()
	p.ResetsOnOpen, p.BusyEvery = false, -1
	f := New(p)
	f.Advance(2 * time.Second)
	f.Say()
	stream(t, f, []string{fmt.Sprintf("M109 S%.0f", p.Material.NozzleC)})
	return f
}

func tubeRow(lengths ...float64) row {
	return row{gaps: []float64{6, 9, 14, 22}, lengths: lengths, travel: 150, layers: 12, layerMM: 0.25}
}
