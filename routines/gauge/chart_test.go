package gauge_test

import (
	"slices"
	"testing"

	"fettle/routines/gauge"
)

// rules are the names of the signals, in their order.
func rules(signals []gauge.Signal) []string {
	var names []string
	for _, s := range signals {
		names = append(names, s.Rule)
	}
	return names
}

// NIST/SEMATECH e-Handbook 6.3.2.2: the flow rate of ten batches, mean 50.81, mean moving range 1.8778, limits 55.8041
// and 45.8159; the process is in control.
func TestIndividualsAgainstTheHandbook(t *testing.T) {
	flow := []float64{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1}
	c := gauge.Individuals(flow)
	near(t, "centre", c.Centre, 50.81, 5e-5)
	near(t, "high", c.High, 55.8041, 5e-5)
	near(t, "low", c.Low, 45.8159, 5e-5)
	near(t, "mean moving range", (c.High-c.Centre)*1.128/3, 1.8778, 5e-5)
	if len(c.Out) != 0 {
		t.Errorf("a process in control gave %v", c.Out)
	}
}

// NIST/SEMATECH e-Handbook 6.3.2.4: limits 52.5884 and 47.4115 (printed truncated, 47.41157 computed), the averages
// printed to two places; none is beyond.
func TestEWMAAgainstTheHandbook(t *testing.T) {
	values := []float64{52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5,
		49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1}
	printed := []float64{50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33,
		50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99}
	c := gauge.EWMA(values, 0.3, 3, 2.0539, 50)
	near(t, "high", c.High, 52.5884, 5e-5)
	near(t, "low", c.Low, 47.41157, 1e-5)
	for i, p := range c.Points {
		near(t, "average", p.Shown, printed[i], 0.00501)
	}
	near(t, "last average, exact", c.Points[19].Shown, 51.9882432586, 1e-9)
	if len(c.Out) != 0 {
		t.Errorf("a process in control gave %v", c.Out)
	}
	if out := gauge.EWMA(values, 0.3, 2, 2.0539, 50).Out; len(out) != 1 || out[0].From != 18 || out[0].To != 19 {
		t.Errorf("at two standard deviations %v, want the last two", out)
	}
}

// NIST/SEMATECH e-Handbook 6.3.2.3: centre 325, k 0.3175, h 4.1959 (both from memory, the sums recomputed); the first
// signal is at group 14.
func TestCUSUMAgainstTheHandbook(t *testing.T) {
	values := []float64{324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600,
		324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350}
	above := []float64{0, 0, 0, 0, 0.0325, 0, 0, 0, 0, 0, 0, 0, 3.0075, 4.9400, 7.4475, 10.6300, 11.9875, 14.4450, 16.0025, 19.0350}
	below := []float64{0, 0.0075, 0, 0.3325, 0, 0, 0.5575, 0.7150, 0.1725, 0.2550, 0.3125, 0, 0, 0, 0, 0, 0, 0, 0, 0}
	c := gauge.CUSUM(values, 325, 0.3175, 4.1959)
	for i, p := range c.Points {
		near(t, "sum above", p.Shown, above[i], 1e-9)
		near(t, "sum below", p.Under, -below[i], 1e-9)
	}
	want := []gauge.Signal{{Rule: gauge.RuleBeyond, From: 13, To: 19, Side: "high"}}
	if !slices.Equal(c.Out, want) {
		t.Errorf("signals %v, want %v", c.Out, want)
	}
}

// A sum of what was too little is found as well: the same groups, mirrored.
func TestCUSUMFindsAFall(t *testing.T) {
	out := gauge.CUSUM([]float64{0, 0, -3, -3}, 0, 0.5, 4).Out
	if len(out) != 1 || out[0].From != 3 || out[0].Side != "low" {
		t.Errorf("signals %v, want one at the last, low", out)
	}
}

// NIST/SEMATECH e-Handbook 2.3.7.1: linewidths of day 1 to 6 at three positions; t* = 2.49758, limits ±0.17455, day 4 is
// out at all three positions.
func TestLineControlAgainstTheHandbook(t *testing.T) {
	l := gauge.LineControl{A: 0.2817, B: 0.9767, S: 0.06826, Freedom: 38, Each: 3, Alpha: 0.05}
	known := slices.Repeat([]float64{0.76, 3.29, 8.89}, 6)
	measured := []float64{1.12, 3.49, 9.11, 0.99, 3.53, 8.89, 1.05, 3.46, 9.02, 0.76, 3.75, 9.30, 0.96, 3.53, 9.05, 1.03, 3.52, 9.02}
	off := []float64{0.098298, -0.005163, 0.148907, -0.034803, 0.035791, -0.076342, 0.026628, -0.035879, 0.056759,
		-0.270290, 0.261039, 0.343439, -0.065519, 0.035791, 0.087475, 0.006151, 0.025552, 0.056759}
	near(t, "t*", l.Factor(), 2.49758, 5e-6)
	near(t, "limit", l.Limit(), 0.17455, 5e-6)
	c := l.Chart(known, measured)
	for i, p := range c.Points {
		near(t, "off", p.Shown, off[i], 1e-6)
	}
	want := []gauge.Signal{
		{Rule: gauge.RuleBeyond, From: 9, To: 9, Side: "low"},
		{Rule: gauge.RuleBeyond, From: 10, To: 11, Side: "high"},
	}
	if !slices.Equal(c.Out, want) {
		t.Errorf("signals %v, want %v: day 4 at L, M and U", c.Out, want)
	}
}
