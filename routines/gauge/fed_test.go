package gauge_test

import (
	"testing"

	"fettle/routines/gauge"
)

func work(t *testing.T, name string, passes int) gauge.Work {
	t.Helper()
	g, ok := gauge.Named(name)
	if !ok {
		t.Fatalf("no instrument %q", name)
	}
	return gauge.Work{Gauge: g, MarkMM: 120, Passes: passes}
}

// partOf combines only the named rows of a budget, k = 2.
func partOf(b gauge.Budget, names ...string) float64 {
	var us []float64
	for _, r := range b.Rows {
		for _, name := range names {
			if r.Name == name {
				us = append(us, r.U)
			}
		}
	}
	return gauge.CoverageFactor * gauge.Combine(us...)
}

// The trade's own sums for a rule with 1 mm divisions on 100 mm (common practice, no source): two readings of ±0.5 mm
// come to u = 0.41 and U = 0.82 mm, 1.0 with the rule's limit, near 1.2 with pen line and curl.
func TestRuleBudgetBuildsUpAsTheTradeHasIt(t *testing.T) {
	b := work(t, "mm_rule", 1).Budget()
	readings := partOf(b, "mark, reading", "leftover, reading")
	near(t, "u of two readings", readings/2, 0.41, 0.005)
	near(t, "U of two readings", readings, 0.82, 0.005)
	near(t, "with the limit", partOf(b, "mark, reading", "leftover, reading", "limit of the instrument"), 1.0, 0.005)
	near(t, "whole, mm on 100", b.U95, 1.2, 0.15)
}

// A caliper for mark and leftover comes to 0.36 to 0.5 % (simulated, own constants), a half-millimetre rule between.
func TestBudgetsOfTheFinerInstruments(t *testing.T) {
	near(t, "caliper", work(t, "caliper", 1).Budget().U95, 0.43, 0.07)
	near(t, "half-millimetre rule", work(t, "half_mm_rule", 1).Budget().U95, 0.8, 0.15)
}

func TestRepeatsLessenOnlyWhatIsDrawnAnew(t *testing.T) {
	one, nine := work(t, "mm_rule", 1).Budget(), work(t, "mm_rule", 9).Budget()
	for i, r := range one.Rows {
		want := r.U / 3
		if r.Common {
			want = r.U
		}
		near(t, r.Name, nine.Rows[i].U, want, 1e-12)
	}
	common := partOf(one, "limit of the instrument", "curl of the filament", "seat at the inlet")
	if forever := work(t, "mm_rule", 1_000_000).Budget(); forever.U95 < common {
		t.Errorf("a million passes came to %.3f mm, below the common rows' %.3f", forever.U95, common)
	}
}

func TestScatterCountsOnlyBeyondReading(t *testing.T) {
	quiet, wild := work(t, "mm_rule", 4), work(t, "mm_rule", 4)
	quiet.ScatterMM, wild.ScatterMM = 0.3, 3
	near(t, "quiet passes", quiet.Budget().U95, work(t, "mm_rule", 4).Budget().U95, 1e-12)
	last := wild.Budget().Rows[len(wild.Budget().Rows)-1]
	if last.Type != "A" || last.Common {
		t.Fatalf("the last row is %+v, want the scatter", last)
	}
	near(t, "wild passes", last.U, 1.5, 0.05) // 3/√4, a little less for the reading already counted
}

func TestBudgetCarriesToAnotherUnit(t *testing.T) {
	b := work(t, "caliper", 1).Budget()
	steps := b.Times(-0.93, "steps/mm")
	near(t, "U95", steps.U95, 0.93*b.U95, 1e-12)
	if steps.Rows[0].Unit != "steps/mm" || b.Rows[0].Unit != "mm" {
		t.Errorf("units are %q and %q", steps.Rows[0].Unit, b.Rows[0].Unit)
	}
	for i, r := range steps.Rows {
		if r.Limit != b.Rows[i].Limit || r.LimitUnit != "mm" {
			t.Errorf("the limit of %s became %g %s", r.Name, r.Limit, r.LimitUnit)
		}
	}
}

func TestOneMorePassSharesWhatIsCommon(t *testing.T) {
	w := work(t, "half_mm_rule", 1)
	for _, r := range w.Again().Rows {
		if r.Common {
			t.Errorf("row %q does not cancel", r.Name)
		}
	}
	near(t, "two passes differ by", w.Again().U95, 2*gauge.Combine(1, 1)*gauge.Combine(
		gauge.Rectangular(0.25), gauge.Rectangular(0.25), gauge.Rectangular(0.3)), 1e-12)
}
