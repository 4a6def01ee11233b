package gauge_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"fettle/routines/gauge"
)

func caliper(t *testing.T) gauge.Instrument {
	t.Helper()
	g, ok := gauge.Named("caliper")
	if !ok {
		t.Fatal("there is no caliper")
	}
	return g
}

// Five places of 1.74 × 1.76 mm by hand: 1.75, oval by 0.02 less what reading explains, no scatter of the places.
func TestDiameterByHand(t *testing.T) {
	d := gauge.DiameterOf([]float64{1.74, 1.76, 1.76, 1.74, 1.74, 1.76, 1.76, 1.74, 1.74, 1.76}, caliper(t))
	near(t, "mean, mm", d.MeanMM, 1.75, 1e-12)
	near(t, "sd, mm", d.SDMM, 0, 1e-12)
	near(t, "oval, mm", d.OvalMM, math.Sqrt(0.02*0.02-2*0.01*0.01/3), 1e-9)
	near(t, "U95, mm", d.U95MM, 2*math.Hypot(0.01/math.Sqrt(30), gauge.Rectangular(caliper(t).LimitMM(1.75))), 1e-9)
	if d.Places != 5 {
		t.Errorf("%d places", d.Places)
	}
}

// Three places that differ by 0.1 mm by hand: what reading ±0.01 mm twice at a place explains is not counted again.
func TestScatterOfPlacesByHand(t *testing.T) {
	d := gauge.DiameterOf([]float64{1.65, 1.65, 1.75, 1.75, 1.85, 1.85}, caliper(t))
	near(t, "sd, mm", d.SDMM, 0.1, 1e-12)
	row := d.Budget.Rows[2]
	excess := math.Sqrt(0.1*0.1 - 0.01*0.01/6)
	near(t, "scatter, mm", row.U, excess/math.Sqrt(3), 1e-9)
	near(t, "its degrees of freedom", row.Freedom, 2*math.Pow(excess/0.1, 4), 1e-9)
	near(t, "oval, mm", d.OvalMM, 0, 1e-12)
	if row.Type != "A" || row.Common || !d.Budget.Rows[1].Common {
		t.Errorf("rows are %+v", d.Budget.Rows)
	}
}

func TestDiameterOfFewReadings(t *testing.T) {
	if d := gauge.DiameterOf(nil, caliper(t)); d.MeanMM != 0 || d.U95MM != 0 || d.Places != 0 {
		t.Errorf("no readings: %+v", d)
	}
	one := gauge.DiameterOf([]float64{1.75}, caliper(t))
	near(t, "one reading", one.MeanMM, 1.75, 1e-12)
	near(t, "its U95", one.U95MM, 2*gauge.Rectangular(math.Hypot(0.01, caliper(t).LimitMM(1.75))), 1e-9)
	odd := gauge.DiameterOf([]float64{1.70, 1.72, 1.75}, caliper(t))
	near(t, "three readings are two places", odd.MeanMM, (1.71+1.75)/2, 1e-12)
	near(t, "and their sd", odd.SDMM, 0.04/math.Sqrt2, 1e-12)
}

// Readings that are all alike are rounded alike: with divisions of 0.1 mm, and a gauge that is off by nothing, filament of 1.74
// mm reads 1.7 however often it is read. What the division hides must be within ±, and the row says that it stays.
func TestReadingsThatAreAlikeKeepTheirResolution(t *testing.T) {
	coarse := gauge.Own(0.1, 0)
	d := gauge.DiameterOf([]float64{1.7, 1.7, 1.7, 1.7, 1.7, 1.7, 1.7, 1.7, 1.7, 1.7}, coarse)
	near(t, "U95, mm", d.U95MM, 0.1/math.Sqrt(3), 1e-9)
	if r := d.Budget.Rows[0]; !r.Common || d.U95MM < 0.04 {
		t.Errorf("%+v, ± %g", r, d.U95MM)
	}
	d = gauge.DiameterOf([]float64{1.7, 1.8, 1.7, 1.7, 1.8, 1.7, 1.7, 1.8, 1.7, 1.7}, coarse)
	if r := d.Budget.Rows[0]; r.Common || math.Abs(r.U-0.05/math.Sqrt(30)) > 1e-9 {
		t.Errorf("readings that differ by a division: %+v", r)
	}
	rng, held := rand.New(rand.NewPCG(2026, 14)), 0
	for range 2000 {
		trueMM := 1.70 + 0.1*rng.Float64()
		if d := gauge.DiameterOf(filament(trueMM, 0.005, 0.01, 0, coarse, rng), coarse); math.Abs(d.MeanMM-trueMM) <= d.U95MM {
			held++
		}
	}
	t.Logf("filament within a division: holds in %.1f %%", percent(held, 2000))
	if percent(held, 2000) < 93.5 {
		t.Errorf("filament within a division: holds in %.1f %%", percent(held, 2000))
	}
}

// filament is a spool of the test's own: ten readings of an oval filament that turns as it likes, with a diameter that
// wanders by sdMM, read with an instrument that is off by offMM all the time, to the nearest division.
func filament(meanMM, sdMM, ovalMM, offMM float64, g gauge.Instrument, rng *rand.Rand) []float64 {
	var readings []float64
	for range 5 {
		here, turn := meanMM+sdMM*rng.NormFloat64(), 2*math.Pi*rng.Float64()
		for _, across := range []float64{turn, turn + math.Pi/2} {
			wide := here + ovalMM/2*math.Cos(2*across)
			readings = append(readings, g.DivisionMM*math.Round((wide+offMM)/g.DivisionMM))
		}
	}
	return readings
}

// The interval holds the true mean of a wandering, oval filament about as often as it says, and ovality is not taken for
// scatter: as a root mean square over all turns it shows 1/√2 of itself.
func TestDiameterHoldsTheTruth(t *testing.T) {
	const draws = 4000
	g, rng := caliper(t), rand.New(rand.NewPCG(2026, 13))
	for _, sdMM := range []float64{0, 0.01, 0.03, 0.06} {
		held, squares := 0, 0.0
		for range draws {
			trueMM, offMM := 1.70+0.1*rng.Float64(), g.LimitMM(1.75)*(2*rng.Float64()-1)
			d := gauge.DiameterOf(filament(trueMM, sdMM, 0.04, offMM, g, rng), g)
			if math.Abs(d.MeanMM-trueMM) <= d.U95MM {
				held++
			}
			squares += d.OvalMM * d.OvalMM
		}
		oval := math.Sqrt(squares / draws)
		t.Logf("filament ± %.2f mm: holds in %.1f %%, oval %.4f mm", sdMM, percent(held, draws), oval)
		if percent(held, draws) < 93.5 {
			t.Errorf("filament ± %.2f mm: holds in %.1f %%", sdMM, percent(held, draws))
		}
		near(t, "oval, mm", oval, 0.04/math.Sqrt2, 0.001)
	}
}
