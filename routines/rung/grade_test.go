package rung

import (
	"math"
	"testing"
)

// Tables of the cumulative normal distribution, NIST/SEMATECH e-Handbook 1.3.6.7.1 (recalled from memory).
func TestPhi(t *testing.T) {
	for z, want := range map[float64]float64{0: 0.5, 1: 0.84134, 1.96: 0.97500, -1.645: 0.04998, 2.58: 0.99506} {
		if got := phi(z); math.Abs(got-want) > 5e-6 {
			t.Errorf("phi(%v) = %.6f, want %.5f", z, got, want)
		}
	}
}

func TestGradesOfAScoreAreAllThereIs(t *testing.T) {
	for _, scatter := range scatters {
		for l := range levels {
			score, sum := float64(l)*levelScore, 0.0
			for g := range grades {
				chance := gradeChance(g, score, scatter)
				if chance < slip/grades {
					t.Errorf("grade %d at score %.2f has a chance of %v: a slip is always possible", g, score, chance)
				}
				sum += chance
			}
			if math.Abs(sum-1) > 1e-12 {
				t.Errorf("the grades at score %.2f come to %v", score, sum)
			}
		}
	}
}

// One look parts far grades well and near ones badly, and the same not at all.
func TestConfusion(t *testing.T) {
	c := confusionOf(0.6)
	same, near, far := c[levelOf(2)][levelOf(2)], c[levelOf(2)][levelOf(2.3)], c[levelOf(1)][levelOf(4)]
	if math.Abs(same) > 1e-12 || near <= 0 || near > 0.1 || far < 1 {
		t.Errorf("same %v, near %v, far %v", same, near, far)
	}
}

// The scatter of a rater is learnt: over some machines and pieces, on average.
func TestScatterIsLearnt(t *testing.T) {
	for _, scatter := range []float64{0.35, 0.6} {
		sum, count := 0.0, 8
		for i := range uint64(count) {
			s, r := specimenOf(i, i%2 == 0, false), raterOf(i, scatter)
			var prints []Print
			for range 3 {
				prints = append(prints, r.look(s, Choose(s.start, nil).LengthsMM, false))
			}
			sum += believe(s.start.sound(), prints).scatter
		}
		if got := sum / float64(count); math.Abs(got-scatter) > 0.12 {
			t.Errorf("raters of scatter %.2f are taken for %.2f", scatter, got)
		}
	}
}
