package gauge_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"fettle/routines/gauge"
)

// scattered is a straight line y = 2 + x at 0 to n-1 that scatters with a standard deviation of sd; states says whether
// its points tell so.
func scattered(n int, sd float64, states bool, rng *rand.Rand) []gauge.Point {
	points := make([]gauge.Point, n)
	for i := range points {
		points[i] = gauge.Point{X: float64(i), Y: 2 + float64(i) + sd*rng.NormFloat64()}
		if states {
			points[i].SDY = sd
		}
	}
	return points
}

// A straight line is called curved, or a point of it stray, about as often as the tests say: once in twenty.
func TestDoubtsAreAsRareAsTheySay(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of simulated checks take longer than -short allows")
	}
	const draws = 4000
	rng := rand.New(rand.NewPCG(2026, 11))
	for _, states := range []bool{false, true} {
		for _, n := range []int{5, 8, 12} {
			curved, stray := 0, 0
			for range draws {
				l := fitted(t, scattered(n, 0.1, states, rng))
				if _, is := l.Curved(); is {
					curved++
				}
				if len(l.Outliers()) > 0 {
					stray++
				}
			}
			t.Logf("%2d points, stated %-5t: curved %.1f %%, stray %.1f %%", n, states, percent(curved, draws), percent(stray, draws))
			near(t, "curved, %", percent(curved, draws), 5, 1.5)
			near(t, "stray, %", percent(stray, draws), 4.5, 1.7)
		}
	}
}

// One reading of eight that is off by ten standard deviations is found, is the only one named, and stays in the line.
func TestAMisreadPointIsNamedAndKept(t *testing.T) {
	rng := rand.New(rand.NewPCG(2026, 12))
	for _, states := range []bool{false, true} {
		found := 0
		for range 500 {
			points := scattered(8, 0.1, states, rng)
			at := rng.IntN(len(points))
			points[at].Y += 1
			l := fitted(t, points)
			if slices.Equal(l.Outliers(), []int{at}) {
				found++
			}
			if l.N != 8 || len(l.Residuals) != 8 {
				t.Fatalf("%d points and %d residuals are left", l.N, len(l.Residuals))
			}
		}
		t.Logf("stated %-5t: found alone in %.1f %%", states, percent(found, 500))
		if percent(found, 500) < 90 {
			t.Errorf("stated %t: the misread point was found alone in %.1f %%", states, percent(found, 500))
		}
	}
}

// Among points that lie on a line but for their rounding, the one that does not is named.
func TestOneOffAnExactLineIsNamed(t *testing.T) {
	points := []gauge.Point{{X: 0, Y: 0}, {X: 1, Y: 1}, {X: 2, Y: 2}, {X: 3, Y: 3.2}, {X: 4, Y: 4}, {X: 5, Y: 5}}
	if l := fitted(t, points); !slices.Equal(l.Outliers(), []int{3}) {
		t.Errorf("stray: %v", l.Outliers())
	}
	for i := range points {
		points[i].SDY = 0.01
	}
	if l := fitted(t, points); !slices.Equal(l.Outliers(), []int{3}) {
		t.Errorf("stray among those that state 0.01: %v", l.Outliers())
	}
}

// A bend that the scatter cannot hide is named, also in a line through 0; three points are too few to tell.
func TestABendIsNamed(t *testing.T) {
	var points []gauge.Point
	for i := 1; i <= 6; i++ {
		x := float64(i)
		points = append(points, gauge.Point{X: x, Y: x + 0.02*x*x + 0.003*float64(i%2)})
	}
	if p, curved := fitted(t, points).Curved(); !curved || p > 0.001 {
		t.Errorf("curved %t, p = %g", curved, p)
	}
	if p, curved := through0(t, points).Curved(); !curved || p > 0.001 {
		t.Errorf("through 0: curved %t, p = %g", curved, p)
	}
	if p, curved := fitted(t, points[:3]).Curved(); curved || p != 1 {
		t.Errorf("three points: curved %t, p = %g", curved, p)
	}
}

// A line held to 0 is compared with a parabola held to 0: what an offset does to it looks like a bend, and is named.
func TestAnOffsetBendsALineHeldTo0(t *testing.T) {
	var points []gauge.Point
	for i := 1; i <= 8; i++ {
		points = append(points, gauge.Point{X: float64(i), Y: 1 + float64(i) + 0.01*float64(i%2)})
	}
	if p, curved := through0(t, points).Curved(); !curved {
		t.Errorf("through 0: p = %g", p)
	}
	if p, curved := fitted(t, points).Curved(); curved {
		t.Errorf("with an intercept: p = %g", p)
	}
}

// Lengths read to 0.5 mm that happen to fall on a parabola to the last digit are no bend where two readings and a pen line
// are stated.
func TestRoundedReadingsAreNoBend(t *testing.T) {
	sd := gauge.Combine(gauge.Rectangular(0.25), gauge.Rectangular(0.25), gauge.Rectangular(0.3))
	points := []gauge.Point{{X: 0, Y: 0, SDY: sd}, {X: 50, Y: 50, SDY: sd}, {X: 100, Y: 100.5, SDY: sd}, {X: 150, Y: 151.5, SDY: sd}}
	if p, curved := fitted(t, points).Curved(); curved {
		t.Errorf("curved, p = %g", p)
	}
	for i := range points {
		points[i].SDY = 0
	}
	if p, curved := fitted(t, points).Curved(); !curved {
		t.Errorf("without it they are: p = %g", p)
	}
}
