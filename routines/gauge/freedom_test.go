package gauge_test

import (
	"math"
	"testing"

	"fettle/routines/gauge"
)

// JCGM 100:2008, table G.2, column 95 %, as printed there with two decimals.
func TestStudentTIsTheGuidesTable(t *testing.T) {
	for _, row := range []struct{ freedom, t95 float64 }{
		{1, 12.71}, {2, 4.30}, {3, 3.18}, {4, 2.78}, {5, 2.57}, {7, 2.36}, {10, 2.23}, {19, 2.09}, {50, 2.01},
	} {
		near(t, "t95", gauge.StudentT95(row.freedom), row.t95, 0.005)
	}
	near(t, "t95 at 100", gauge.StudentT95(100), 1.984, 0.0005)
	near(t, "t95 at infinity", gauge.StudentT95(math.Inf(1)), 1.960, 0.0005)
}

// JCGM 100:2008, G.4.1, example: three inputs with relative uncertainties of 0.25, 0.57 and 0.82 % out of 10, 5 and 15
// readings come to 1.03 %, 19.0 degrees of freedom (18.9987 unrounded), t = 2.09 and U = 2.2 % (as quoted by independent
// secondary sources, and recomputed).
func TestEffectiveFreedomIsTheGuidesExample(t *testing.T) {
	rows := []gauge.Row{{U: 0.25, Freedom: 9}, {U: 0.57, Freedom: 4}, {U: 0.82, Freedom: 14}}
	u, freedom := gauge.Combine(0.25, 0.57, 0.82), gauge.EffectiveFreedom(rows)
	near(t, "u, %", u, 1.03, 0.005)
	near(t, "degrees of freedom", freedom, 18.9987, 0.0001)
	near(t, "t95", gauge.CoverageAt(freedom), 2.09, 0.005)
	near(t, "U95, %", gauge.CoverageAt(freedom)*u, 2.2, 0.05)
}

func TestKnownRowsLeaveTwoAndNothingGoesBelowIt(t *testing.T) {
	if f := gauge.EffectiveFreedom([]gauge.Row{{U: 1}, {U: 2}}); !math.IsInf(f, 1) {
		t.Errorf("rows that are known have %g degrees of freedom", f)
	}
	for _, freedom := range []float64{60, 1000, math.Inf(1)} {
		near(t, "k", gauge.CoverageAt(freedom), 2, 0.005)
	}
	for _, freedom := range []float64{0, 0.4, 1, 1.9} {
		near(t, "k of a handful", gauge.CoverageAt(freedom), 12.706, 0.0005)
	}
}

// Passes that scatter far beyond reading have n-1 degrees of freedom, and t of them; passes that do not have k = 2.
func TestFewWildPassesAreExpandedByT(t *testing.T) {
	for passes, t95 := range map[int]float64{2: 12.71, 3: 4.30, 5: 2.78} {
		w := work(t, "caliper", passes)
		near(t, "quiet k", w.Budget().K, 2, 1e-12)
		w.ScatterMM = 20
		near(t, "wild k", w.Budget().K, t95, 0.005)
		near(t, "wild k of one more", w.Again().K, t95, 0.005)
		near(t, "wild U95", w.Budget().U95, w.Budget().K*w.Budget().U, 1e-12)
		near(t, "k in another unit", w.Budget().Times(0.93, "steps/mm").K, t95, 0.005)
	}
}

func TestScatterGoesOnWithAnotherInstrument(t *testing.T) {
	w := work(t, "mm_rule", 3)
	w.ScatterMM = 2
	fine := w.With(work(t, "caliper", 1).Gauge)
	near(t, "excess", fine.ExcessMM(), w.ExcessMM(), 1e-9)
	if fine.ScatterMM >= w.ScatterMM || fine.Gauge.Name != "caliper" {
		t.Errorf("with a %s they scatter %g mm, with a rule %g", fine.Gauge.Name, fine.ScatterMM, w.ScatterMM)
	}
	w.ScatterMM = 0.1
	if quiet := w.With(fine.Gauge); quiet.ExcessMM() > 0 {
		t.Errorf("quiet passes have an excess of %g mm with a finer instrument", quiet.ExcessMM())
	}
}

// Two passes that differ in reading and marking alone: ±0.5 mm at both marks, ±0.3 mm of pen line; 1.96√2 of that.
func TestSpreadOfPasses(t *testing.T) {
	u := gauge.Combine(gauge.Rectangular(0.5), gauge.Rectangular(0.5), gauge.Rectangular(0.3))
	near(t, "two", work(t, "mm_rule", 2).SpreadMM(), 1.95996*math.Sqrt2*u, 1e-4)
	near(t, "three", work(t, "mm_rule", 3).SpreadMM(), 2.39398*math.Sqrt2*u, 1e-4) // normal quantile at 1 - 0.05/6
}
