package standin

import (
	"math"
	"math/rand/v2"
)

// PieceLook is what a person sees of what lies on the bed, found again from the moves alone. Nothing of it reaches the line.
type PieceLook struct {
	HighMM  float64    // of the highest plastic
	FootMM  float64    // of what lies below the gaps
	LayerMM float64    // of what stands on it
	Posts   []Span     // from left to right, along X
	Gaps    []Span     // between them; one less
	Bands   []BandLook // from the foot up, whole ones only
	Damp    bool       // matt and bubbled
	Crashed bool       // the nozzle ran into what stood on the bed
}

// Span is a stretch along X, from home.
type Span struct{ FromMM, ToMM float64 }

// WidthMM is how long it is.
func (s Span) WidthMM() float64 { return s.ToMM - s.FromMM }

// BandLook is one band of 3 mm, in whole layers. Its first three layers are not looked at.
type BandLook struct {
	FromMM, ToMM float64   // height
	Gaps         []GapLook // those of the piece, in its order
	Voids        bool      // seen at more than half of the gaps
	FanPercent   float64
}

// GapLook is one gap of a band.
type GapLook struct {
	WidthMM  float64
	Grade    int     // 0 clean, 1 hairs, 2 threads, 3 strings, 4 web: as a person gives it
	ThreadUM float64 // what is truly there, on average over the layers
	VoidMM3  float64 // missing at the restarts behind it
}

// LookAtPiece lets a person look at what lies on the bed and grade it, with a scatter in grades: 0.35 for a trained one, 0.6
// for a casual one, 0 for the truth. Looking again may give other grades.
func (b Bench) LookAtPiece(scatterGrades float64) (l PieceLook) {
	b.at(func(f *Firmware) { l = f.world.lookAtPiece(scatterGrades) })
	return l
}

func (w *world) lookAtPiece(scatterGrades float64) PieceLook {
	p := &w.plate
	l := PieceLook{HighMM: p.heights.topMM, Damp: w.damp, Crashed: p.crashed}
	gaps := gapsOf(p.crossed)
	if len(gaps) == 0 {
		return l
	}
	l.LayerMM, l.FootMM = layerOf(p.crossed), middle(p.crossed, func(c crossed) float32 { return c.floorMM })
	for _, g := range gaps {
		l.Gaps = append(l.Gaps, Span{middle(g, func(c crossed) float32 { return c.fromMM }), middle(g, func(c crossed) float32 { return c.toMM })})
	}
	l.Posts = p.postsBeside(l.Gaps, l.FootMM)
	for i := 0; l.LayerMM > 0 && i < len(p.crossed); i++ {
		band, whole := l.bandOf(gaps, i)
		if !whole {
			break
		}
		band.grade(scatterGrades, w.hand.scatter())
		l.Bands = append(l.Bands, band)
	}
	return l
}

// bandOf is the band of a number, and whether it stands whole.
func (l *PieceLook) bandOf(gaps [][]crossed, number int) (b BandLook, whole bool) {
	const bandMM, unjudged = 3.0, 3
	high := math.Max(1, math.Round(bandMM/l.LayerMM)) * l.LayerMM
	b.FromMM = l.FootMM + float64(number)*high
	b.ToMM = b.FromMM + high
	half := l.LayerMM / 2
	for i, gap := range gaps {
		judged := within(gap, b.FromMM+unjudged*l.LayerMM+half, b.ToMM+half)
		if len(judged) == 0 || len(within(gap, b.ToMM-half, math.Inf(1))) == 0 {
			return b, false
		}
		b.Gaps = append(b.Gaps, GapLook{
			WidthMM:  l.Gaps[i].WidthMM(),
			ThreadUM: mean(judged, func(c crossed) float32 { return c.threadUM }),
			VoidMM3:  mean(judged, func(c crossed) float32 { return c.voidMM3 }),
		})
		b.FanPercent = mean(judged, func(c crossed) float32 { return c.fan })
	}
	return b, true
}

func (b *BandLook) grade(scatterGrades float64, hand *rand.Rand) {
	seen := 0
	for i := range b.Gaps {
		g := &b.Gaps[i]
		g.Grade = gradeBy(g.ThreadUM, scatterGrades, hand)
		if voidsBy(g.VoidMM3, scatterGrades, hand) {
			seen++
		}
	}
	b.Voids = 2*seen > len(b.Gaps)
}
