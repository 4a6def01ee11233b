package gauge_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"fettle/routines/gauge"
)

func TestWhatIsNoLineIsSaidBySort(t *testing.T) {
	three := func(x, y, sd float64) []gauge.Point { return []gauge.Point{{X: x, Y: y, SDY: sd}, {X: 1}, {X: 2}} }
	for _, tt := range []struct {
		name   string
		points []gauge.Point
		want   error
	}{
		{"none", nil, gauge.ErrFewPoints},
		{"two", []gauge.Point{{X: 1}, {X: 2}}, gauge.ErrFewPoints},
		{"one X", []gauge.Point{{X: 5, Y: 1}, {X: 5, Y: 2}, {X: 5, Y: 3}}, gauge.ErrNoSpan},
		{"no number", three(0, math.NaN(), 0), gauge.ErrNotNumber},
		{"endless", three(math.Inf(1), 0, 0), gauge.ErrNotNumber},
		{"beyond all numbers", three(1e308, 1e308, 0), gauge.ErrNotNumber},
		{"one states its sd", three(0, 0, 0.1), gauge.ErrBadSD},
		{"an sd below 0", three(0, 0, -0.1), gauge.ErrBadSD},
	} {
		if _, err := gauge.FitLine(tt.points); !errors.Is(err, tt.want) {
			t.Errorf("%s: %v, want %v", tt.name, err, tt.want)
		}
	}
	if _, err := gauge.FitThrough0([]gauge.Point{{Y: 1}, {Y: 2}}); !errors.Is(err, gauge.ErrNoSpan) {
		t.Errorf("through 0 at 0 alone: %v", err)
	}
	if _, err := gauge.FitParabola([]gauge.Point{{X: 1}, {X: 2}, {X: 1}, {X: 2}}); !errors.Is(err, gauge.ErrNoSpan) {
		t.Errorf("a parabola at two X: %v", err)
	}
}

// A point k times is one point with the weight k, a standard deviation of 1/√k. Plain algebra.
func TestWeightIsRepetition(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var once, often []gauge.Point
		for i := range rapid.IntRange(3, 8).Draw(rt, "n") {
			p := gauge.Point{X: float64(i), Y: rapid.Float64Range(-9, 9).Draw(rt, "y")}
			k := rapid.IntRange(1, 5).Draw(rt, "k")
			for range k {
				often = append(often, p)
			}
			p.SDY = 1 / math.Sqrt(float64(k))
			once = append(once, p)
		}
		weighted, repeated := fitted(t, once), fitted(t, often)
		for _, x := range []float64{-3, 0, 4, 20} {
			one, sdOne := weighted.At(x)
			other, sdOther := repeated.At(x)
			near(t, "height", one, other, 1e-9)
			near(t, "sd for points of sd 1", sdOne/max(1, weighted.S), sdOther/repeated.S, 1e-9)
		}
	})
}

// Least squares leave residuals that sum up to 0 and lean on X no more.
func TestNothingIsLeftThatALineCouldTake(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		points := rapid.SliceOfN(rapid.Custom(func(rt *rapid.T) gauge.Point {
			return gauge.Point{X: rapid.Float64Range(-50, 50).Draw(rt, "x"), Y: rapid.Float64Range(-50, 50).Draw(rt, "y")}
		}), 3, 12).Draw(rt, "points")
		l, err := gauge.FitLine(points)
		if err != nil {
			rt.Skip()
		}
		sum, along := 0.0, 0.0
		for i, left := range l.Residuals {
			sum += left
			along += left * points[i].X
		}
		near(t, "sum", sum, 0, 1e-10)
		near(t, "sum along X", along, 0, 1e-8)
		if l.R < -1 || l.R > 1 || l.CovAB*l.CovAB > l.SDA*l.SDA*l.SDB*l.SDB*(1+1e-9) {
			rt.Errorf("r = %g, cov = %g of %g and %g", l.R, l.CovAB, l.SDA, l.SDB)
		}
	})
}

// What lies on a line but for the rounding of its numbers has no bend and no stray point.
func TestAnExactLineIsPlain(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		a, b := rapid.IntRange(-100, 100).Draw(rt, "a"), rapid.IntRange(-100, 100).Draw(rt, "b")
		divisor := rapid.SampledFrom([]float64{1, 3, 10, 1e6}).Draw(rt, "divisor")
		points := make([]gauge.Point, rapid.IntRange(3, 9).Draw(rt, "n"))
		for i := range points {
			points[i] = gauge.Point{X: float64(i), Y: float64(a+b*i) / divisor}
		}
		l := fitted(t, points)
		near(t, "a", l.A, float64(a)/divisor, 1e-11)
		near(t, "b", l.B, float64(b)/divisor, 1e-11)
		if p, curved := l.Curved(); curved || len(l.Outliers()) > 0 {
			rt.Errorf("curved %t (p = %g), stray %v", curved, p, l.Outliers())
		}
	})
}

// Points that scatter three times as much as they state are as uncertain as their scatter makes them, with its degrees of
// freedom; points that scatter less than they state are as uncertain as they state.
func TestStatedScatterIsHeldAgainstWhatIsSeen(t *testing.T) {
	bare := []gauge.Point{{X: 0, Y: 0.3}, {X: 1, Y: 0.7}, {X: 2, Y: 2.3}, {X: 3, Y: 2.7}, {X: 4, Y: 4.3}, {X: 5, Y: 4.7}}
	seen := fitted(t, bare)
	stated := func(sd float64) gauge.Line {
		points := append([]gauge.Point(nil), bare...)
		for i := range points {
			points[i].SDY = sd
		}
		return fitted(t, points)
	}
	wild, quiet := stated(seen.S/3), stated(seen.S*3)
	near(t, "S of wild points", wild.S, 3, 1e-12)
	near(t, "their SDB", wild.SDB, seen.SDB, 1e-12)
	near(t, "their degrees of freedom", wild.Freedom, 4, 0)
	near(t, "S of quiet points", quiet.S, 1.0/3, 1e-12)
	near(t, "their SDB", quiet.SDB, 3*seen.SDB, 1e-12)
	if !math.IsInf(quiet.Freedom, 1) {
		t.Errorf("quiet points have %g degrees of freedom", quiet.Freedom)
	}
}

// A line that comes back from a record has its parts alone: as high, as sure, and without a doubt to tell.
func TestALineOfItsPartsAlone(t *testing.T) {
	l := fitted(t, readPublished(t, "strd_norris").points("x", "y"))
	parts := gauge.Line{A: l.A, B: l.B, SDA: l.SDA, SDB: l.SDB, CovAB: l.CovAB}
	for _, x := range []float64{-10, 0, 450, 2000} {
		y, sd := l.At(x)
		again, sdAgain := parts.At(x)
		near(t, "height", again, y, 1e-9)
		near(t, "its sd", sdAgain, sd, 1e-9)
	}
	if p, curved := parts.Curved(); curved || p != 1 || parts.Outliers() != nil {
		t.Errorf("curved %t with p = %g, stray %v", curved, p, parts.Outliers())
	}
	if y, sd := (gauge.Line{}).At(3); y != 0 || sd != 0 {
		t.Errorf("no line at all is at %g ± %g", y, sd)
	}
	b := through0(t, readPublished(t, "strd_noint1").points("x", "y"))
	y, sd := b.At(-2)
	near(t, "through 0", y, -2*b.B, 1e-12)
	near(t, "its sd", sd, 2*b.SDB, 1e-12)
}

func TestALineKeepsItsOwnPoints(t *testing.T) {
	points := []gauge.Point{{X: 0, Y: 0}, {X: 1, Y: 1.1}, {X: 2, Y: 3.9}, {X: 3, Y: 9.1}, {X: 4, Y: 15.9}, {X: 5, Y: 25}}
	l := fitted(t, points)
	before, _ := l.Curved()
	points[3].Y = -100
	if after, _ := l.Curved(); after != before {
		t.Errorf("p went from %g to %g with a point of the caller's", before, after)
	}
}

// Whatever numbers come, there is a line of finite numbers or an error of a known sort, and no panic.
func FuzzFitLine(f *testing.F) {
	f.Add(0.0, 0.0, 1.0, 1.0, 2.0, 2.0, 3.0, 3.5, 0.0)
	f.Add(1e308, -1e308, 1e-308, 5e-324, 0.0, 1.0, -1e300, 2.0, 1e-200)
	f.Add(1e16, 1.0, 1e16+2, 1.0, 1e16+4, 2.0, 0.0, 0.0, 1e200)
	f.Fuzz(func(t *testing.T, x0, y0, x1, y1, x2, y2, x3, y3, sd float64) {
		points := []gauge.Point{{x0, y0, sd}, {x1, y1, sd}, {x2, y2, sd}, {x3, y3, sd}}
		for _, fit := range []func([]gauge.Point) (gauge.Line, error){gauge.FitLine, gauge.FitThrough0} {
			l, err := fit(points)
			if err != nil {
				continue
			}
			for _, v := range []float64{l.A, l.B, l.SDA, l.SDB, l.CovAB, l.R, l.S} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Errorf("%v has a line %+v", points, l)
				}
			}
			if p, _ := l.Curved(); !(p >= 0 && p <= 1) {
				t.Errorf("%v is curved with p = %g", points, p)
			}
			l.Outliers()
		}
		_, _ = gauge.FitParabola(points)
	})
}
