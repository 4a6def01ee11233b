package gauge

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// curvedBelow is the probability below which chance is no longer taken for the reason that a parabola fits better.
const curvedBelow = 0.05

// A Parabola is y = a + b x + c x² by weighted least squares, its standard deviations as a Line has them.
type Parabola struct {
	A, B, C       float64
	SDA, SDB, SDC float64
	R2            float64 // the part of Y's variation that it explains
	S             float64 // standard deviation of a point about it, as a Line has it
	N             int
	Freedom       float64
}

// FitParabola draws the parabola through four points or more, at three values of X or more. Errors as FitLine has them.
func FitParabola(points []Point) (Parabola, error) {
	f, err := fitPowers(points, 0, 2)
	if err != nil {
		return Parabola{}, fmt.Errorf("fit a parabola: %w", err)
	}
	back := f.back()
	var coef mat.VecDense
	coef.MulVec(back, mat.NewVecDense(3, f.coef))
	variance, freedom := f.scatter()
	sd := func(i int) float64 { return math.Sqrt(variance * mat.Inner(back.RowView(i), f.cov, back.RowView(i))) }
	p := Parabola{A: coef.AtVec(0), B: coef.AtVec(1), C: coef.AtVec(2), SDA: sd(0), SDB: sd(1), SDC: sd(2),
		R2: f.explained(), S: math.Sqrt(f.chi2 / float64(f.free)), N: len(points), Freedom: freedom}
	if !finite(p.A, p.B, p.C, p.SDA, p.SDB, p.SDC, p.R2, p.S) {
		return Parabola{}, fmt.Errorf("fit a parabola: too large or too small: %w", ErrNotNumber)
	}
	return p, nil
}

// back carries the coefficients of 1, u and u² to those of 1, x and x², where u is (x - origin)/span.
func (f *fit) back() *mat.Dense {
	m, h := f.origin/f.span, 1/f.span
	return mat.NewDense(3, 3, []float64{
		1, -m, m * m,
		0, h, -2 * m * h,
		0, 0, h * h,
	})
}

// Curved says whether a parabola is truly better than the line, and with what probability chance alone would make one so
// much better: the F test of its last term with one degree of freedom, which is Student's t of that term squared. Where
// there are too few points to tell, p is 1. A line held to 0 is compared with a parabola held to 0, so that an offset may
// look like a bend there.
func (l Line) Curved() (p float64, curved bool) {
	f, err := fitPowers(l.fit.points, l.fit.lowest, 2)
	if err != nil || l.fit.exact() {
		return 1, false
	}
	last := len(f.coef) - 1
	_, freedom := f.scatter()
	p = studentTail(f.coef[last]/f.sd(last), freedom)
	return p, p < curvedBelow
}
