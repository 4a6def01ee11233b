package gauge

import (
	"fmt"
	"math"
)

// A Point is one pair that a line is drawn through.
type Point struct {
	X, Y float64 // X is taken as known; what is uncertain is Y
	SDY  float64 // standard deviation of Y, in its unit; 0 in all points: alike, and known from their scatter alone
}

// A Line is y = a + b x with what is known of how well: the straight line of JCGM 100:2008, H.3, by weighted least squares.
//
// Where the points state no standard deviation, S is that of one of them, in the unit of Y, and all others rest on it
// (H.3.2). Where they do, S is what they scatter as a multiple of what they state: 1 and below agree with it, and above 1
// all standard deviations are widened by S (the Birge ratio; from memory). An interval of about 95 % is CoverageAt(Freedom)
// standard deviations either way.
type Line struct {
	A, B      float64   // Y at X = 0, in the unit of Y, and Y per X; A is 0 where the line was held to 0
	SDA, SDB  float64   // their standard deviations
	CovAB     float64   // their covariance: they lean on each other, the more so the farther the points lie from X = 0
	R         float64   // correlation of Y with X; its square is the part of Y that the line explains
	S         float64   // standard deviation of a point about the line, see above
	N         int       // how many points
	Freedom   float64   // degrees of freedom of SDA and SDB; +Inf where the points scatter as they state
	Residuals []float64 // Y less the line, in the order of the points

	fit fit
}

// FitLine draws the line through three points or more. Errors: ErrFewPoints, ErrNoSpan, ErrNotNumber, ErrBadSD.
func FitLine(points []Point) (Line, error) {
	f, err := fitPowers(points, 0, 1)
	if err != nil {
		return Line{}, fmt.Errorf("fit a line: %w", err)
	}
	l := lineOf(f)
	// The origin of the frame is the mean of X, where the height of the line and its slope do not lean on each other.
	l.A = f.coef[0] - l.B*f.origin
	l.SDA = math.Hypot(f.sd(0), l.SDB*f.origin)
	l.CovAB = -f.origin * l.SDB * l.SDB
	return l, l.checked()
}

// FitThrough0 draws y = b x through two points or more: nothing in gives nothing out. R is that of a line without an
// intercept: what is left is compared with Y itself, not with Y less its mean. Errors as FitLine has them.
func FitThrough0(points []Point) (Line, error) {
	f, err := fitPowers(points, 1, 1)
	if err != nil {
		return Line{}, fmt.Errorf("fit a line through 0: %w", err)
	}
	l := lineOf(f)
	return l, l.checked()
}

// lineOf is all of a line but its intercept.
func lineOf(f fit) Line {
	slope := len(f.coef) - 1
	_, freedom := f.scatter()
	l := Line{B: f.coef[slope] / f.span, SDB: f.sd(slope) / f.span, S: math.Sqrt(f.chi2 / float64(f.free)),
		N: len(f.points), Freedom: freedom, Residuals: f.residuals, fit: f}
	l.R = math.Copysign(math.Sqrt(f.explained()), l.B)
	return l
}

// checked finds the sums that went beyond what a number holds.
func (l Line) checked() error {
	if !finite(l.A, l.B, l.SDA, l.SDB, l.CovAB, l.R, l.S) {
		return fmt.Errorf("fit a line: too large or too small: %w", ErrNotNumber)
	}
	return nil
}

// At is the height of the line at x, in the unit of Y, and its standard deviation: of the line, not of one more point
// (JCGM 100:2008, H.3.4, equation H.15). A fitted line is followed from the mean of X, so that nothing cancels.
func (l Line) At(x float64) (y, sd float64) {
	f := l.fit
	if len(f.coef) < 2 { // through 0, or known by its parts alone
		return l.A + l.B*x, math.Sqrt(math.Max(0, l.SDA*l.SDA+x*x*l.SDB*l.SDB+2*x*l.CovAB))
	}
	away := x - f.origin
	return f.coef[0] + l.B*away, math.Hypot(f.sd(0), l.SDB*away)
}
