package gauge

import "math"

// strayChance is how often a line without any stray point may have one named: once in twenty lines.
const strayChance = 0.05

// Outliers are the places in Points of those that lie farther from the line than chance lets one of so many lie. They are
// named and stay in the line: whether one was misread is for a person to say.
//
// Each residual is studentised with the scatter of the other points, so that a stray one does not hide in the scatter that
// it makes itself, and held to Student's t with its part of the chance (Bonferroni). Of fewer than two points beyond what
// the line takes up none is named. Two that stray alike may hide each other. (Textbook method, from memory.)
func (l Line) Outliers() []int {
	f := l.fit
	if f.free < 2 || f.exact() {
		return nil
	}
	var out []int
	for i := range f.points {
		if t, freedom := f.studentised(i); math.Abs(t) > StudentT(1-strayChance/float64(l.N), freedom) {
			out = append(out, i)
		}
	}
	return out
}

// studentised is the residual of a point over the standard deviation that the others give it, and the degrees of freedom of
// that one. A point that alone decides where the curve runs has none.
func (f *fit) studentised(i int) (t, freedom float64) {
	rest := 1 - f.leverage[i]
	if rest < 1e-9 {
		return 0, float64(f.free)
	}
	own := f.root(i) * f.residuals[i] / math.Sqrt(rest)
	variance, freedom := scatterOf(math.Max(0, f.chi2-own*own), f.free-1, f.stated)
	return own / math.Sqrt(variance), freedom
}
