package gauge_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"fettle/routines/gauge"
)

// limitFactor is how many standard deviations the limits of a row of n checks lie out: 1 false alarm of 20 for the five ways
// of looking together, and of that share as much for each check.
func limitFactor(n int) float64 {
	return gauge.StudentT(math.Pow(0.95, 1/float64(5*n)), math.Inf(1))
}

// The limits of the average are as wide as it truly scatters about the mean of its own checks, where each check has another
// uncertainty: 40,000 rows drawn anew.
func TestTheAverageScattersAsItsLimitsSay(t *testing.T) {
	const draws = 40_000
	u95s := []float64{0.2, 0.6, 0.1, 0.4, 0.4, 1, 0.15, 0.3}
	rng := rand.New(rand.NewPCG(7, 2026))
	squares := make([]float64, len(u95s))
	var half []float64
	for range draws {
		var checks []gauge.Check
		for i, u := range u95s {
			checks = append(checks, gauge.Check{At: onDay(float64(i)), Value: 93 + u/2*rng.NormFloat64(), U95: u})
		}
		d := gauge.DriftOf(checks, 1)
		half = half[:0]
		for i, p := range d.Average {
			squares[i] += (p.Shown - d.Centre) * (p.Shown - d.Centre)
			half = append(half, (p.High-p.Low)/2)
		}
	}
	for i := range u95s {
		sd := math.Sqrt(squares[i] / draws)
		t.Logf("average %d: scatters by %.4f, its limits say %.4f", i+1, sd, half[i]/limitFactor(len(u95s)))
		near(t, "standard deviation of the average", half[i]/limitFactor(len(u95s))/sd, 1, 0.015) // 4 of its own, 1/√(2·40,000)
	}
}

// NIST/SEMATECH e-Handbook 6.3.2.4: in a long row of alike checks the average has λ/(2-λ) of the variance of one; less the
// variance of the mean they are held against, which the handbook takes as known.
func TestALongRowHasTheLimitsOfTheHandbook(t *testing.T) {
	const n, sd, lambda = 400, 0.1, 0.3
	d := gauge.DriftOf(weekly(2*sd, make([]float64, n)...), 1)
	want := sd * math.Sqrt(lambda/(2-lambda)-1.0/n)
	near(t, "limit in the middle", d.Average[n/2].High, limitFactor(n)*want, 1e-9)
}

// One check, or many alike, are called out by nothing, however their numbers are rounded.
func TestAChecksOwnRoundingIsNoSignal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.Float64Range(50, 900).Draw(t, "value")
		u95 := rapid.Float64Range(1e-6, 5).Draw(t, "u95")
		values := make([]float64, rapid.IntRange(1, 12).Draw(t, "checks"))
		for i := range values {
			values[i] = value
		}
		if d := gauge.DriftOf(weekly(u95, values...), 1); len(d.Signals) > 0 || len(d.Average) != len(values) {
			t.Fatalf("%v", d.Signals)
		}
	})
}
