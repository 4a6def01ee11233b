package standin

import (
	"math"
	"math/rand/v2"
)

// Where one grade ends and the next begins, um of thread: clean, hairs, threads, strings, web. Invented; no published
// figures were found.
var gradeEndsUM = [...]float64{8, 25, 48, 85}

// seenMM3 is the least that is missing where a person sees it.
const seenMM3 = 0.12

// score is a thread on the scale of grades, whole numbers in the middle of each.
func score(um float64) float64 {
	below := 0.0
	for g, end := range gradeEndsUM {
		if um < end {
			return max(0, float64(g)-0.5+(um-below)/(end-below))
		}
		below = end
	}
	return min(4, 3.5+(um-below)/60)
}

// gradeOf is a grade without scatter.
func gradeOf(um float64) int { return int(score(um) + 0.5) }

// gradeBy is the grade a person gives.
func gradeBy(um, scatterGrades float64, hand *rand.Rand) int {
	return int(min(4, max(0, math.Round(score(um)+scatterGrades*hand.NormFloat64()))))
}

// voidsBy tells whether a person sees that something is missing.
func voidsBy(mm3, scatterGrades float64, hand *rand.Rand) bool {
	return mm3*(1+0.25*scatterGrades*hand.NormFloat64()) > seenMM3
}

// Rater is a person who grades bands: with a scatter of 0.35 of a grade a trained one, with 0.6 a casual one.
type Rater struct {
	scatterGrades float64
	hand          *rand.Rand
}

// NewRater gives the same person for the same seed.
func NewRater(seed uint64, scatterGrades float64) *Rater {
	return &Rater{scatterGrades, rand.New(rand.NewPCG(seed, 0x9ade))}
}

// Band grades each gap, 0 to 4, and tells whether voids were seen at more than half of them.
func (r *Rater) Band(threads []Thread) (grades []int, voids bool) {
	seen := 0
	for _, t := range threads {
		grades = append(grades, gradeBy(t.ThreadUM, r.scatterGrades, r.hand))
		if voidsBy(t.VoidMM3, r.scatterGrades, r.hand) {
			seen++
		}
	}
	return grades, 2*seen > len(threads)
}
