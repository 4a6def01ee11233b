package rung

import (
	"math"
	"math/rand/v2"
)

// A rater is a simulated person with a simulated piece in hand.
type rater struct {
	rand    *rand.Rand
	scatter float64 // of a look, in grades
	harsh   float64 // how much worse than they are all bands seem to this person
	gaps    []float64
}

// raterOf is a person who grades two, three or four gaps of a band.
func raterOf(seed uint64, scatter float64) *rater {
	r := rand.New(rand.NewPCG(seed, 4711))
	return &rater{r, scatter, 0, [][]float64{{6, 22}, {6, 14, 22}, gapsMM()}[r.IntN(3)]}
}

// look prints bands on a machine and grades them. One band is not like the next, even at one length.
func (r *rater) look(s specimen, lengthsMM []float64, confirming bool) Print {
	p := Print{Confirming: confirming}
	for _, mm := range lengthsMM {
		b, luck := Band{LengthMM: mm}, 1+s.uneven*r.rand.NormFloat64()
		for _, gap := range r.gaps {
			b.Gaps = append(b.Gaps, Gap{gap, r.grade(r.harsh + r.score(s, luck, mm, gap))})
		}
		b.Voids = s.missing(mm) > s.visibleMM3*(1+0.15*r.rand.NormFloat64())
		p.Bands = append(p.Bands, b)
	}
	return p
}

// score is that of one gap, or of the worst one for a person who grades a band as a whole (gap 0).
func (r *rater) score(s specimen, luck, mm, gapMM float64) float64 {
	if gapMM > 0 {
		return score(luck * s.thread(mm, gapMM))
	}
	return score(luck * max(s.thread(mm, 6), s.thread(mm, 22)))
}

func (r *rater) grade(score float64) int {
	if r.rand.Float64() < 0.01 {
		return r.rand.IntN(5) // a slip of the finger
	}
	return int(math.Max(0, math.Min(4, math.Round(score+r.scatter*r.rand.NormFloat64()))))
}
