package rung

import "math"

// A score is a grade before it is looked at: a number on the scale of grades, whole at the middle of each. 1.5 parts
// hairs, which suffice, from threads.
const sufficientScore = 1.5

const (
	grades     = 5
	levels     = 91 // scores from 0 to 4.5
	levelScore = 0.05
	slip       = 0.01 // part of the looks whose grade is a slip of the finger
)

// scatters are the standard deviations of a look, in grades, that a rater may have. A trained eye has about 0.35, a
// casual one about 0.6: our own simulation.
var scatters = [...]float64{0.3, 0.42, 0.6, 0.85}

// scatterPrior weighs scatters before anything was graded: about 0.5.
var scatterPrior = [...]float64{0.2, 0.3, 0.3, 0.2}

// levelOf is the place of a score in the tables.
func levelOf(score float64) int {
	return max(0, min(levels-1, int(score/levelScore+0.5)))
}

// phi is the cumulative normal distribution.
func phi(z float64) float64 { return 0.5 * (1 + math.Erf(z/math.Sqrt2)) }

// gradeChance is the chance that a thing of this score is given this grade by a rater of this scatter: the part of a
// normal distribution about the score between the limits of the grade, and a slip of the finger.
func gradeChance(grade int, score, scatter float64) float64 {
	below, above := 0.0, 1.0
	if grade > 0 {
		below = phi((float64(grade) - 0.5 - score) / scatter)
	}
	if grade < grades-1 {
		above = phi((float64(grade) + 0.5 - score) / scatter)
	}
	return (1-slip)*(above-below) + slip/grades
}

// A gradeTable holds the logarithms of gradeChance for one scatter, by level and grade.
type gradeTable [levels][grades]float64

func gradeTableOf(scatter float64) *gradeTable {
	var t gradeTable
	for l := range t {
		for g := range t[l] {
			t[l][g] = math.Log(gradeChance(g, float64(l)*levelScore, scatter))
		}
	}
	return &t
}

// confusionOf holds by two levels the Bhattacharyya distance between what one look at each would be graded: how well a
// single look can tell them apart. 0 is not at all.
func confusionOf(scatter float64) *[levels][levels]float64 {
	var roots [levels][grades]float64
	for l := range roots {
		for g := range roots[l] {
			roots[l][g] = math.Sqrt(gradeChance(g, float64(l)*levelScore, scatter))
		}
	}
	var t [levels][levels]float64
	for a := range t {
		for b := range a {
			sum := 0.0
			for g := range grades {
				sum += roots[a][g] * roots[b][g]
			}
			t[a][b] = -math.Log(sum)
			t[b][a] = t[a][b]
		}
	}
	return &t
}
