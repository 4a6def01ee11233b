package gauge_test

import (
	"math"
	"strconv"
	"testing"

	"fettle/routines/gauge"
)

// JCGM 100:2008, H.3: the calibration of a thermometer, 11 corrections against readings, counted from 20 °C. y1, s(y1), y2,
// s(y2), r and the correction at 30 °C as quoted by independent secondary sources, s from memory; all recomputed, and held to
// the digits printed there as well as to those recomputed.
func TestLineIsTheGuidesThermometer(t *testing.T) {
	table := readPublished(t, "jcgm100_h3_thermometer")
	points := table.points("t_k_degC", "b_k_degC")
	for i := range points {
		points[i].X -= 20
	}
	l := fitted(t, points)
	near(t, "y1, °C", l.A, -0.1712, 0.00005)
	near(t, "y1, recomputed", l.A, -0.17120379, 5e-9)
	near(t, "s(y1), °C", l.SDA, 0.0029, 0.00005)
	near(t, "s(y1), recomputed", l.SDA, 0.00287760, 5e-9)
	near(t, "y2", l.B, 0.00218, 0.000005)
	near(t, "y2, recomputed", l.B, 0.002182698, 5e-10)
	near(t, "s(y2)", l.SDB, 0.00067, 0.000005)
	near(t, "s(y2), recomputed", l.SDB, 0.00066794, 5e-9)
	near(t, "r(y1, y2)", l.CovAB/l.SDA/l.SDB, -0.930, 0.0005)
	near(t, "r(y1, y2), recomputed", l.CovAB/l.SDA/l.SDB, -0.93043, 5e-6)
	near(t, "s, °C", l.S, 0.0035, 0.00005)
	near(t, "s, recomputed", l.S, 0.00349756, 5e-9)
	b, u := l.At(10)
	near(t, "b(30 °C), °C", b, -0.1494, 0.00005)
	near(t, "u(b(30 °C)), °C", u, 0.0041, 0.00005)
	near(t, "u(b(30 °C)), recomputed", u, 0.00413860, 5e-9)
	near(t, "degrees of freedom", l.Freedom, 9, 0)
	for i, left := range l.Residuals {
		near(t, "residual of reading "+strconv.Itoa(i+1), left, table["residual"][i], 5e-7)
	}
}

// u(b(t)) by the guide's own equation H.15, from the parts of the line alone.
func TestLineAtIsTheGuidesEquation(t *testing.T) {
	l := fitted(t, readPublished(t, "jcgm100_h3_thermometer").points("t_k_degC", "b_k_degC"))
	for _, x := range []float64{-40, 0, 21.5, 24, 30, 100} {
		y, sd := l.At(x)
		near(t, "height", y, l.A+l.B*x, 1e-12)
		near(t, "its sd", sd, math.Sqrt(l.SDA*l.SDA+x*x*l.SDB*l.SDB+2*x*l.CovAB), 1e-12)
	}
}

// JCGM 100:2008, table G.2, all of it, as printed (half a unit of the last place; 1.70 at 35 degrees of freedom and 90 % is
// a misprint for 1.69) and as recomputed. The columns 95 and 95.45 are two: 2.26 and 2.32 at 9 degrees of freedom.
func TestStudentTIsTheWholeTable(t *testing.T) {
	table := readPublished(t, "jcgm100_g2_t")
	sigmas := func(k float64) float64 { return math.Erf(k / math.Sqrt2) } // 68.27, 95.45 and 99.73 % are rounded
	for column, confidence := range map[string]float64{
		"68.27": sigmas(1), "90": 0.90, "95": 0.95, "95.45": sigmas(2), "99": 0.99, "99.73": sigmas(3)} {
		for i, freedom := range table["nu"] {
			what := column + " % at " + strconv.FormatFloat(freedom, 'g', -1, 64)
			got := gauge.StudentT(confidence, freedom)
			near(t, what+", recomputed", got, table["exact"+column][i], 1e-6)
			if printed := table["p"+column][i]; freedom != 35 || printed != 1.70 {
				near(t, what+", printed", got, printed, halfPlace(freedom, printed))
			}
			if column == "95" {
				near(t, what+", by its own name", gauge.StudentT95(freedom), got, 1e-12)
			}
		}
	}
}

// halfPlace is half a unit of the last place that the table prints: three decimals from 100 degrees of freedom on, four
// figures at most, two decimals elsewhere.
func halfPlace(freedom, printed float64) float64 {
	switch {
	case freedom >= 100:
		return 0.0005
	case printed > 100:
		return 0.05
	}
	return 0.005
}

// JCGM 100:2008, H.1.6: the end gauge has 16 degrees of freedom (16.7 truncated), t99 = 2.92 and U99 = 93 nm, which is 2.92
// times the rounded 32 nm; unrounded 92.5. The parts and their degrees of freedom are from memory, the results as quoted by
// independent secondary sources and recomputed. u(d) = 9.7 nm has 25.6 with 9.7 rounded, 25.45 without.
func TestExpandedUncertaintyOfTheEndGauge(t *testing.T) {
	d := []gauge.Row{{U: 5.8, Freedom: 24}, {U: 3.9, Freedom: 5}, {U: 6.7, Freedom: 8}}
	near(t, "degrees of freedom of d", gauge.EffectiveFreedom(d), 25.45, 0.05)
	rows := []gauge.Row{{U: 25, Freedom: 18}, {U: 9.7, Freedom: 25.6}, {U: 2.9, Freedom: 50}, {U: 16.6, Freedom: 2}}
	freedom := math.Floor(gauge.EffectiveFreedom(rows))
	near(t, "degrees of freedom", freedom, 16, 0)
	t99 := gauge.StudentT(0.99, freedom)
	near(t, "t99", t99, 2.92, 0.005)
	near(t, "U99, nm", t99*gauge.Combine(25, 9.7, 2.9, 16.6), 93, 1)
}

// JCGM 100:2008, 4.4.3 and table 1: twenty temperatures; 4.4.5 (from memory, recomputed): a temperature anywhere between 96
// and 104 °C has u = 2.3 °C.
func TestSpreadIsTheGuidesTemperatures(t *testing.T) {
	s := gauge.SpreadOf([]float64{96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68,
		100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72})
	near(t, "mean, °C", s.Mean, 100.145, 0.0005)
	near(t, "s, °C", s.SD, 1.489, 0.0005)
	near(t, "s of the mean, °C", s.U95/gauge.StudentT95(19), 0.333, 0.0005)
	near(t, "range, °C", s.Range, 5.82, 1e-9)
	near(t, "anywhere within ±4 °C", gauge.Rectangular(4), 2.3, 0.05)
}
