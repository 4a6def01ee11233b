package docket_test

import (
	"slices"
	"strings"
	"testing"

	"fettle/routines/docket"
)

// Each thing that can happen to a row is said on its own chart, at the checks it is about.
func TestWhatHappenedIsSaid(t *testing.T) {
	for _, c := range []struct {
		rule     string
		from, to int
		side     string
		u95      float64
		truths   []float64
	}{
		{"individuals: one beyond the limit with its whole ±", 4, 4, "high", 1, []float64{400, 400.2, 399.8, 400, 405, 400}},
		{"individuals: one beyond the limit", 4, 4, "low", 1, []float64{400, 400.2, 399.8, 400, 397.8, 400}},
		{"individuals: six in a row, each further the same way", 5, 6, "low", 1, []float64{400, 399.9, 399.8, 399.7, 399.6, 399.5, 399.4}},
		{"ewma: the average is beyond its limit", 8, 9, "high", 1, []float64{400, 399.5, 400.5, 400, 399.5, 401.5, 402, 401.5, 401.7, 401.5}},
		{"trend: it drifts: the checks go one way by more than the gauge explains", 0, 6, "high", 1, []float64{400, 400.3, 400.6, 401, 401.4, 401.6, 402}},
		{"trend: the drift is not steady: a straight line does not fit it", 0, 5, "", 1, []float64{400, 400, 400, 401, 403.5, 407.5}},
		{"trend: the checks scatter by more than the gauge explains", 0, 5, "", 1, []float64{400, 402, 398, 402, 398, 400}},
		{"trend: it has moved by more than the tolerance since the first check", 0, 5, "high", 1, []float64{400, 400.5, 401.5, 402.5, 404, 407}},
	} {
		d := rowOf(c.u95, c.truths...).drift(t, docket.DriftQuery{})
		chart, rule, _ := strings.Cut(c.rule, ": ")
		if !slices.Contains(d.Signals, docket.DriftSignal{Rule: rule, Chart: chart, From: c.from, To: c.to, Side: c.side}) {
			t.Errorf("no %q from %d to %d among %+v", c.rule, c.from, c.to, d.Signals)
		}
	}
	if d := rowOf(1, 400, 400.2, 399.8, 400.1, 399.9).drift(t, docket.DriftQuery{}); len(d.Signals) > 0 || d.Again == nil || *d.PerDayU95 <= 0 {
		t.Errorf("a steady row: %+v", d)
	}
}
