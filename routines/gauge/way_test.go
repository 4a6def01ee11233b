package gauge_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"fettle/routines/gauge"
)

// Directive 2014/32/EU Annex X MI-008, Table 1: a + b·L, L in started metres: I 0.1 + 0.1, II 0.3 + 0.2, III 0.6 + 0.4 mm.
func TestClassesOfRules(t *testing.T) {
	rule, _ := gauge.Named("mm_rule")
	for _, c := range []struct {
		class              string
		at300, at1000, two float64
	}{{gauge.ClassI, 0.2, 0.2, 0.3}, {gauge.ClassII, 0.5, 0.5, 0.7}, {gauge.ClassIII, 1.0, 1.0, 1.4}} {
		held, ok := rule.OfClass(c.class)
		if !ok || held.Class != c.class {
			t.Errorf("class %s: %+v, %t", c.class, held, ok)
		}
		near(t, c.class+" at 300", held.LimitMM(300), c.at300, 1e-12)
		near(t, c.class+" at 1000", held.LimitMM(1000), c.at1000, 1e-12)
		near(t, c.class+" at 2000", held.LimitMM(2000), c.two, 1e-12)
	}
	caliper, _ := gauge.Named("caliper")
	if _, ok := caliper.OfClass(gauge.ClassI); ok {
		t.Error("a caliper has the class of a rule")
	}
	if _, ok := rule.OfClass("IV"); ok {
		t.Error("there is no class IV")
	}
}

// DIN 862 as tabulated by a supplier (merged cells, read second-hand), limits in mm at 50, 100, 200 and 300 mm.
func TestLimitsOfCalipers(t *testing.T) {
	for name, want := range map[string][4]float64{
		"vernier_caliper": {0.05, 0.05, 0.05, 0.05},
		"caliper":         {0.02, 0.02, 0.03, 0.03},
		"digital_caliper": {0.02, 0.02, 0.03, 0.03},
	} {
		g, _ := gauge.Named(name)
		for i, length := range []float64{50, 100, 200, 300} {
			near(t, name, g.LimitMM(length), want[i], 1e-12)
		}
	}
}

func TestOwnGaugeIsWhatItsOwnerStates(t *testing.T) {
	g := gauge.Own(0.1, 0.2)
	near(t, "reading", g.ReadingMM(), 0.05, 1e-12)
	near(t, "limit at 100", g.LimitMM(100), 0.2, 1e-12)
	near(t, "limit at 1500", g.LimitMM(1500), 0.2, 1e-12)
	if !strings.Contains(g.Label, "0.1 mm") || !strings.Contains(g.Label, "0.2 mm") {
		t.Errorf("it is called %q", g.Label)
	}
}

// ways are one pass of each way over 100 mm.
func ways(g gauge.Instrument) []gauge.Work {
	return []gauge.Work{
		{Gauge: g, Way: gauge.Inlet, MarkMM: 120, Passes: 1},
		{Gauge: g, Way: gauge.TwoFlags, MarkMM: 100, Passes: 1},
		{Gauge: g, Way: gauge.SeveralLengths, MarkMM: 120, Passes: 1, Line: gauge.Stretch{Blocks: 5}},
		{Gauge: g, Way: gauge.CutPiece, MarkMM: 100, Passes: 1},
	}
}

// What the budget carries through the slope is what the fitted line itself states of points that are so uncertain.
func TestStretchHasTheSlopeOfItsLine(t *testing.T) {
	for _, g := range gauge.Instruments() {
		for _, n := range []int{3, 5, 8} {
			points := make([]gauge.Point, n)
			for i := range points {
				x := 100 * float64(i+1) / float64(n)
				points[i] = gauge.Point{X: x, Y: 1 + 0.98*x + 0.01*float64(i%2), SDY: gauge.BlockU(g)}
			}
			line, err := gauge.FitLine(points)
			if err != nil {
				t.Fatal(err)
			}
			w := gauge.Work{Gauge: g, Way: gauge.SeveralLengths, MarkMM: 120, Passes: 1, Line: gauge.Stretch{Blocks: n}}
			near(t, g.Name, w.Budget().Rows[0].U, 100*line.SDB, 1e-9)
		}
	}
}

// Line scatter twice as large as stated adds √3 times the stated one, with fewer degrees of freedom than the points leave.
func TestRavelledLineIsWiderAndSure(t *testing.T) {
	g, _ := gauge.Named("caliper")
	plain := gauge.Stretch{Blocks: 5}
	ravelled := plain.Ravel(g, []float64{2, 2})
	w := gauge.Work{Gauge: g, Way: gauge.SeveralLengths, MarkMM: 120, Passes: 1, Line: plain}
	near(t, "excess", ravelled.ExcessMM, math.Sqrt(3)*w.Budget().Rows[0].U, 1e-9)
	near(t, "freedom", ravelled.Freedom, 2*3*9./16, 1e-9)
	if plain.Ravel(g, []float64{0.3, 1.1}) != plain {
		t.Error("readings that agree with what they state add something")
	}
}

func TestFloorIsWhatManyPassesComeTo(t *testing.T) {
	g, _ := gauge.Named("half_mm_rule")
	for _, w := range ways(g) {
		w.Passes = 1_000_000
		near(t, string(w.Way), w.FloorU95(), w.Budget().U95, 0.001)
	}
}

func TestLargestRowIsNamed(t *testing.T) {
	rule, _ := gauge.Named("half_mm_rule")
	caliper, _ := gauge.Named("caliper")
	for name, b := range map[string]gauge.Budget{
		"limit of the instrument": ways(rule)[0].Budget(),
		"pen line":                ways(caliper)[0].Budget(),
		"seat at the inlet":       ways(caliper)[1].Budget(),
		"first cut":               ways(caliper)[3].Budget(),
	} {
		if got := b.Largest().Name; got != name {
			t.Errorf("largest is %q, want %q", got, name)
		}
	}
	if got := (gauge.Budget{}).Largest(); got != (gauge.Row{}) {
		t.Errorf("no rows, and %+v", got)
	}
}

// The stated interval of each way holds the truth about as often as it says. Run with -v for the figures.
func TestEachWaysIntervalHoldsTheTruth(t *testing.T) {
	const draws = 4000
	src := rand.NewPCG(2026, 11)
	for i, way := range ways(gauge.Instrument{}) {
		all, of := 0, 0
		for _, g := range gauge.Instruments() {
			for _, passes := range []int{1, 3} {
				w := ways(g)[i]
				w.Passes = passes
				here := held(t, w, 0, draws, src)
				t.Logf("%-15s %-15s %d passes: holds in %.2f %%", way.Way, g.Name, passes, percent(here, draws))
				all, of = all+here, of+draws
			}
		}
		inBand(t, string(way.Way), percent(all, of))
	}
}
