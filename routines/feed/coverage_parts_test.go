package feed_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"fettle/routines"
	"fettle/routines/gauge"
)

// Why the stated interval holds somewhat more often than 95 times in 100: of the same checks, how often it would with what the
// passes happened to scatter beyond reading left out, and then with the 1.96 of a normal distribution instead of 2. The rest is
// that a few parts with hard ends have no tails. Nothing of it is mended: the scatter is what makes a printer that truly
// scatters be seen, 2 is JCGM 100:2008, 6.3.3, and what the parts are is not known so well that their ends should count.
func TestWhatMakesTheIntervalHoldMore(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of simulated checks take longer than -short allows")
	}
	const checks = 12000
	rng := rand.New(rand.NewPCG(2026, 41))
	all := strata()
	stated, unscattered, normal := 0, 0, 0
	for i := range checks {
		truth := 1 + 0.1*(2*rng.Float64()-1)
		f, _ := all[i%len(all)].check(t, rng, 93, truth, 1+rng.IntN(3), false)
		fed := value(t, f, "fed_mm")
		off, u := math.Abs(fed.Value-100*truth), sureUMM(f, fed.Value)
		for count, half := range map[*int]float64{&stated: *fed.U95, &unscattered: gauge.CoverageFactor * u, &normal: 1.96 * u} {
			if off <= half {
				*count++
			}
		}
	}
	percent := func(n int) float64 { return 100 * float64(n) / checks }
	t.Logf("of %d: as stated %.2f %%; without scatter %.2f %%; and with 1.96 %.2f %%", checks, percent(stated), percent(unscattered), percent(normal))
	if p := percent(stated); p < 93.5 || p > 97.5 {
		t.Errorf("the stated interval holds in %.2f %%, want 93.5 to 97.5", p)
	}
	if p := percent(normal); p < 94.5 || p > 96.5 {
		t.Errorf("what is surely known, at 1.96, holds in %.2f %%: a part is too large or too small", p)
	}
}

// sureUMM is the standard uncertainty of the fed length by the parts of type B alone, mm. Where a change is found the budget
// is that of steps/mm, which go as one over what was fed.
func sureUMM(f routines.Finding, fedMM float64) float64 {
	sum := 0.0
	for _, r := range f.Budget {
		u := r.U
		if r.Unit == "steps/mm" {
			u *= fedMM / (93 * 100 / fedMM)
		}
		if r.Type == "B" {
			sum += u * u
		}
	}
	return math.Sqrt(sum)
}
