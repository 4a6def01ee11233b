package rung

import (
	"math"
	"math/rand/v2"
)

// A rater is a simulated person with a simulated piece in hand.
type rater struct {
	rand    *rand.Rand
	scatter float64 // of a look, in grades
	gaps    []float64
}

// raterOf is a person who grades two, three or four gaps of a band.
func raterOf(seed uint64, scatter float64) *rater {
	r := rand.New(rand.NewPCG(seed, 4711))
	return &rater{r, scatter, [][]float64{{6, 22}, {6, 14, 22}, gapsMM()}[r.IntN(3)]}
}

// look prints eight bands on a machine and grades them. One band is not like the next: its threads differ by 6 % from
// what the length makes them.
func (r *rater) look(s specimen, lengthsMM []float64, confirming bool) Print {
	p := Print{Confirming: confirming}
	for _, mm := range lengthsMM {
		b, luck := Band{LengthMM: mm}, 1+0.06*r.rand.NormFloat64()
		for _, gap := range r.gaps {
			b.Gaps = append(b.Gaps, Gap{gap, r.grade(score(luck * s.thread(mm, gap)))})
		}
		b.Voids = s.missing(mm) > s.visibleMM3*(1+0.15*r.rand.NormFloat64())
		p.Bands = append(p.Bands, b)
	}
	return p
}

func (r *rater) grade(score float64) int {
	if r.rand.Float64() < 0.01 {
		return r.rand.IntN(5) // a slip of the finger
	}
	return int(math.Max(0, math.Min(4, math.Round(score+r.scatter*r.rand.NormFloat64()))))
}
