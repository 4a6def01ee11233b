package gauge_test

import (
	"testing"

	"fettle/routines/gauge"
)

// Certified values of NIST/ITL Statistical Reference Datasets, linear regression, as in Norris.dat, NoInt1.dat, NoInt2.dat
// and Pontius.dat: made there with 500 digits. Run with -v for how many of them are reached.

func TestLineIsNorris(t *testing.T) {
	l := fitted(t, readPublished(t, "strd_norris").points("x", "y"))
	digits(t, "Norris B0", l.A, -0.262323073774029, 1e-9)
	digits(t, "Norris B1", l.B, 1.00211681802045, 1e-12)
	digits(t, "Norris sd(B0)", l.SDA, 0.232818234301152, 1e-9)
	digits(t, "Norris sd(B1)", l.SDB, 0.429796848199937e-3, 1e-9)
	digits(t, "Norris residual sd", l.S, 0.884796396144373, 1e-9)
	near(t, "Norris R²", l.R*l.R, 0.999993745883712, 1e-12)
	// F of the regression, 5436385.54079785, is the square of the slope over its standard deviation.
	digits(t, "Norris F", l.B/l.SDB*l.B/l.SDB, 5436385.54079785, 1e-9)
	if l.N != 36 || l.Freedom != 34 || len(l.Residuals) != 36 {
		t.Errorf("%d points, %g degrees of freedom, %d residuals", l.N, l.Freedom, len(l.Residuals))
	}
}

func TestLineThrough0IsNoInt1(t *testing.T) {
	l := through0(t, readPublished(t, "strd_noint1").points("x", "y"))
	digits(t, "NoInt1 B1", l.B, 2.07438016528926, 1e-12)
	digits(t, "NoInt1 sd(B1)", l.SDB, 0.165289256198347e-1, 1e-9)
	digits(t, "NoInt1 residual sd", l.S, 3.56753034006338, 1e-9)
	near(t, "NoInt1 R², no intercept", l.R*l.R, 0.999365492298663, 1e-12)
	if l.A != 0 || l.SDA != 0 || l.CovAB != 0 || l.Freedom != 10 {
		t.Errorf("intercept %g ± %g, %g degrees of freedom", l.A, l.SDA, l.Freedom)
	}
}

func TestLineThrough0IsNoInt2(t *testing.T) {
	l := through0(t, readPublished(t, "strd_noint2").points("x", "y"))
	digits(t, "NoInt2 B1", l.B, 0.727272727272727, 1e-12)
	digits(t, "NoInt2 sd(B1)", l.SDB, 0.420827318078432e-1, 1e-9)
	digits(t, "NoInt2 residual sd", l.S, 0.369274472937998, 1e-9)
	near(t, "NoInt2 R², no intercept", l.R*l.R, 0.993348115299335, 1e-12)
}

func TestParabolaIsPontius(t *testing.T) {
	points := readPublished(t, "strd_pontius").points("x", "y")
	p := parabola(t, points)
	digits(t, "Pontius B0", p.A, 0.673565789473684e-3, 1e-9)
	digits(t, "Pontius B1", p.B, 0.732059160401003e-6, 1e-9)
	digits(t, "Pontius B2", p.C, -0.316081871345029e-14, 1e-9)
	digits(t, "Pontius sd(B0)", p.SDA, 0.107938612033077e-3, 1e-9)
	digits(t, "Pontius sd(B1)", p.SDB, 0.157817399981659e-9, 1e-9)
	digits(t, "Pontius sd(B2)", p.SDC, 0.486652849992036e-16, 1e-9)
	digits(t, "Pontius residual sd", p.S, 0.205177424076185e-3, 1e-9)
	near(t, "Pontius R²", p.R2, 0.999999900178537, 1e-12)
	if chance, curved := fitted(t, points).Curved(); !curved || chance > 1e-6 {
		t.Errorf("the line through Pontius is curved: %t, by chance once in %g", curved, 1/chance)
	}
}

// What the certified values say of a line, they say of the same line in other units and counted from elsewhere.
func TestNorrisInOtherUnits(t *testing.T) {
	points := readPublished(t, "strd_norris").points("x", "y")
	for i := range points {
		points[i] = gauge.Point{X: 1e-3*points[i].X + 1e4, Y: 1e6 * points[i].Y}
	}
	l := fitted(t, points)
	digits(t, "slope", l.B, 1.00211681802045e9, 1e-9)
	digits(t, "sd of the slope", l.SDB, 0.429796848199937e6, 1e-9)
	y, sd := l.At(1e4)
	near(t, "at the old 0", y, -0.262323073774029e6, 10)
	digits(t, "its sd", sd, 0.232818234301152e6, 1e-7)
}
