package gauge_test

import "testing"

// NIST/SEMATECH e-Handbook of Statistical Methods, 2.3.6.5: the response of a load cell. A straight line looks perfect and is
// not; the parabola printed there (least squares on the data in exact fractions) is.
func TestLoadCellIsCurved(t *testing.T) {
	points := readPublished(t, "nist_2365_loadcell").points("load", "response")
	p := parabola(t, points)
	near(t, "a", p.A, -1.83980e-5, 5e-11)
	near(t, "b", p.B, 0.100102485, 5e-10)
	near(t, "c", p.C, 7.031865e-6, 5e-13)
	near(t, "s", p.S, 3.76403e-5, 5e-11)
	l := fitted(t, points)
	chance, curved := l.Curved()
	if !curved || chance > 1e-9 || l.R*l.R < 0.99999 {
		t.Errorf("R² of the line is %.6f, curved %t with p = %.2g", l.R*l.R, curved, chance)
	}
}

// The same, 2.3.6.7.3: ten linewidths measured four times. Least squares give what was computed for its data: a line.
func TestLinewidthsLieOnALine(t *testing.T) {
	l := fitted(t, readPublished(t, "nist_23673_linewidth").points("x_linewidth_um", "y_measured_um"))
	near(t, "a, µm", l.A, 0.235762, 5e-7)
	near(t, "b", l.B, 0.987038, 5e-7)
	near(t, "s, µm", l.S, 0.062032, 5e-7)
	if chance, curved := l.Curved(); curved {
		t.Errorf("curved, p = %.3f", chance)
	}
}
