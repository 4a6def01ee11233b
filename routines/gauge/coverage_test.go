package gauge_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"fettle/routines/gauge"
)

// draw is one occurrence of a row, from the distribution that the row itself states.
func draw(t *testing.T, r gauge.Row, src rand.Source) float64 {
	t.Helper()
	switch r.Distribution {
	case gauge.DistRectangular:
		return distuv.Uniform{Min: -r.Limit, Max: r.Limit, Src: src}.Rand()
	case gauge.DistNormal:
		return distuv.Normal{Sigma: r.Limit, Src: src}.Rand()
	}
	t.Fatalf("row %q states the distribution %q", r.Name, r.Distribution)
	return 0
}

// measure simulates a check of a printer that truly feeds trueMM: what is common is drawn once, the rest in each pass.
func measure(t *testing.T, w gauge.Work, trueMM float64, src rand.Source) []float64 {
	rows := w.Budget().Rows
	common := 0.0
	for _, r := range rows {
		if r.Common {
			common += draw(t, r, src)
		}
	}
	results := make([]float64, w.Passes)
	for i := range results {
		results[i] = trueMM + common
		for _, r := range rows {
			if !r.Common {
				results[i] += draw(t, r, src)
			}
		}
	}
	return results
}

// The stated interval must hold the truth about as often as it says. Run with -v for the figures.
func TestStatedIntervalHoldsTheTruth(t *testing.T) {
	const commandedMM, drawsEach = 100, 6000
	src := rand.NewPCG(2026, 4)
	rng := rand.New(src)
	pooledHeld, pooled := 0, 0
	for _, g := range gauge.Instruments() {
		held, all := 0, 0
		for passes := 1; passes <= 5; passes++ {
			heldHere := 0
			for range drawsEach {
				trueMM := commandedMM * (1 + 0.15*(2*rng.Float64()-1))
				w := gauge.Work{Gauge: g, MarkMM: 120, Passes: passes}
				got, mean := gauge.Measured(g, 120, measure(t, w, trueMM, src))
				if math.Abs(mean-trueMM) <= got.Budget().U95 {
					heldHere++
				}
			}
			t.Logf("%-13s %d passes: U95 %.3f mm of %d, holds in %.2f %%", g.Name, passes,
				gauge.Work{Gauge: g, MarkMM: 120, Passes: passes}.Budget().U95, commandedMM, percent(heldHere, drawsEach))
			held, all = held+heldHere, all+drawsEach
		}
		t.Logf("%-13s pooled: %.2f %% of %d draws", g.Name, percent(held, all), all)
		inBand(t, g.Name, percent(held, all))
		pooledHeld, pooled = pooledHeld+held, pooled+all
	}
	t.Logf("all gauges pooled: %.2f %% of %d draws", percent(pooledHeld, pooled), pooled)
	inBand(t, "pooled", percent(pooledHeld, pooled))
}

func inBand(t *testing.T, what string, held float64) {
	t.Helper()
	if held < 93.5 || held > 97.5 {
		t.Errorf("%s: the interval holds in %.2f %%, want 93.5 to 97.5", what, held)
	}
}

func percent(part, of int) float64 { return 100 * float64(part) / float64(of) }
