package gauge

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// epsilon is how far apart the numbers next to 1 lie.
const epsilon = 0x1p-52

// solve finds the coefficients from an orthogonal factorisation of the rows, which keeps twice the digits that the sums of
// squares and products of the textbooks keep.
func (f *fit) solve(highest int) error {
	rows, heights := f.rows(highest)
	var qr mat.QR
	qr.Factorize(rows)
	var coef mat.VecDense
	if qr.SolveVecTo(&coef, false, heights) != nil {
		return ErrNoSpan
	}
	f.coef = coef.RawVector().Data
	if err := f.covariance(&qr); err != nil {
		return err
	}
	f.leave(rows)
	return nil
}

// rows are the powers of each X and each Y, both times the root of the weight.
func (f *fit) rows(highest int) (*mat.Dense, *mat.VecDense) {
	rows := mat.NewDense(len(f.points), highest-f.lowest+1, nil)
	heights := mat.NewVecDense(len(f.points), nil)
	for i, p := range f.points {
		x := (p.X - f.origin) / f.span
		for power := f.lowest; power <= highest; power++ {
			rows.Set(i, power-f.lowest, f.root(i)*math.Pow(x, float64(power)))
		}
		heights.SetVec(i, f.root(i)*p.Y)
	}
	return rows, heights
}

// covariance is the inverse of XᵀX, which is RᵀR.
func (f *fit) covariance(qr *mat.QR) error {
	size := len(f.coef)
	var r mat.Dense
	qr.RTo(&r)
	upper := mat.NewTriDense(size, mat.Upper, nil)
	for i := range size {
		for j := i; j < size; j++ {
			upper.SetTri(i, j, r.At(i, j))
		}
	}
	var inverse mat.TriDense
	if inverse.InverseTri(upper) != nil {
		return ErrNoSpan
	}
	f.cov = mat.NewSymDense(size, nil)
	f.cov.SymOuterK(1, &inverse)
	return nil
}

// leave works out what the curve leaves of each point.
func (f *fit) leave(rows *mat.Dense) {
	coef := mat.NewVecDense(len(f.coef), f.coef)
	f.residuals = make([]float64, len(f.points))
	f.leverage = make([]float64, len(f.points))
	for i, p := range f.points {
		row := rows.RowView(i)
		f.residuals[i] = p.Y - mat.Dot(row, coef)/f.root(i)
		f.leverage[i] = mat.Inner(row, f.cov, row)
		weighed := f.root(i) * f.residuals[i]
		f.chi2 += weighed * weighed
	}
}

// exact says whether nothing is left of the points but the rounding of their numbers, in which there is nothing to find.
func (f *fit) exact() bool {
	most, left := 0.0, 0.0
	for i, p := range f.points {
		most = math.Max(most, math.Abs(p.Y))
		left = math.Max(left, math.Abs(f.residuals[i]))
	}
	return left <= 16*epsilon*most
}

func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
