package gauge

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Why no line can be drawn.
var (
	ErrFewPoints = errors.New("too few points to tell their scatter")
	ErrNoSpan    = errors.New("the points do not lie apart in X")
	ErrNotNumber = errors.New("not a finite number")
	ErrBadSD     = errors.New("standard deviations are above 0 in all points, or 0 in all")
)

// A fit is a sum of powers of X, by least squares. X is counted from the middle of the points and in their reach, so that
// its powers stay well apart from each other whatever X is in.
type fit struct {
	points       []Point
	lowest       int     // the lowest power: 1 where the curve is held to 0 at X = 0
	origin, span float64 // X is origin + span times what the powers are taken of
	stated       bool    // the points state their standard deviations
	coef         []float64
	cov          *mat.SymDense // covariance of the coefficients for points of standard deviation 1
	residuals    []float64
	leverage     []float64 // how much each point draws the curve to itself, 0 to 1
	chi2         float64   // sum of the squares of the residuals, each over its standard deviation
	free         int       // points beyond what the coefficients take up
}

// fitPowers fits the powers of X from lowest to highest.
func fitPowers(points []Point, lowest, highest int) (fit, error) {
	f := fit{points: slices.Clone(points), lowest: lowest, free: len(points) - (highest - lowest + 1)}
	if f.free < 1 {
		return f, fmt.Errorf("%d points: %w", len(points), ErrFewPoints)
	}
	if err := f.read(); err != nil {
		return f, err
	}
	if f.distinct() < highest-lowest+1 {
		return f, ErrNoSpan
	}
	return f, f.solve(highest)
}

// read holds the points to what can be fitted, and finds their middle and reach.
func (f *fit) read() error {
	f.stated = f.points[0].SDY > 0
	for i, p := range f.points {
		if !finite(p.X, p.Y, p.SDY) {
			return fmt.Errorf("point %d: %w", i+1, ErrNotNumber)
		}
		if p.SDY < 0 || (p.SDY > 0) != f.stated {
			return fmt.Errorf("point %d: %w", i+1, ErrBadSD)
		}
	}
	if f.lowest == 0 {
		f.origin = f.mean(xOf)
	}
	for _, p := range f.points {
		f.span = math.Max(f.span, math.Abs(p.X-f.origin))
	}
	if !finite(f.origin, f.span) {
		return fmt.Errorf("places X lie too far apart: %w", ErrNotNumber)
	}
	return nil
}

// mean is the weighted mean of X or of Y, summed from the first of them so that what they have in common costs no digits.
func (f *fit) mean(of func(Point) float64) float64 {
	first, sum, weights := of(f.points[0]), 0.0, 0.0
	for i, p := range f.points {
		w := f.root(i) * f.root(i)
		sum += w * (of(p) - first)
		weights += w
	}
	return first + sum/weights
}

func xOf(p Point) float64 { return p.X }
func yOf(p Point) float64 { return p.Y }

// root is the square root of the weight of a point: the inverse of its standard deviation.
func (f *fit) root(i int) float64 {
	if f.stated {
		return 1 / f.points[i].SDY
	}
	return 1
}

// distinct counts the values of X. Through 0, X = 0 tells nothing.
func (f *fit) distinct() int {
	seen := map[float64]bool{}
	for _, p := range f.points {
		if f.lowest == 0 || p.X != 0 {
			seen[p.X] = true
		}
	}
	return len(seen)
}

// sd is the standard deviation of a coefficient.
func (f *fit) sd(i int) float64 {
	variance, _ := f.scatter()
	return math.Sqrt(variance * f.cov.At(i, i))
}

// scatter is the variance of a point of weight 1 about the curve, and its degrees of freedom.
func (f *fit) scatter() (variance, freedom float64) { return scatterOf(f.chi2, f.free, f.stated) }

// scatterOf takes what the points state as known, as long as a chi-squared test at 5 % does not show that they scatter
// more; beyond that only their scatter counts.
func scatterOf(chi2 float64, free int, stated bool) (variance, freedom float64) {
	seen := chi2 / float64(free)
	if !stated {
		return seen, float64(free)
	}
	if (distuv.ChiSquared{K: float64(free)}).Survival(chi2) < 0.05 {
		return math.Max(1, seen), float64(free)
	}
	return math.Max(1, seen), math.Inf(1)
}

// explained is the part of Y's variation that the curve explains: R².
func (f *fit) explained() float64 {
	middle, total := 0.0, 0.0
	if f.lowest == 0 {
		middle = f.mean(yOf)
	}
	for i, p := range f.points {
		d := f.root(i) * (p.Y - middle)
		total += d * d
	}
	if total == 0 {
		return 0
	}
	return math.Max(0, 1-f.chi2/total)
}
