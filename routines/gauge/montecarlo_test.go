package gauge_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"fettle/routines/gauge"
)

// monteCarloDraws is how often each result is drawn. JCGM 101:2008, 7.2.2, recommends 10^6 for 95 %; a tenth of it tells a
// standard uncertainty to 0.3 % and an interval to 0.5 %.
const monteCarloDraws = 100_000

// propagated is what JCGM 101:2008 makes of a result: the standard deviation of its draws (7.6), and the half width of the
// interval of 95 % about 0, in which all parts here lie evenly (7.7).
type propagated struct{ u, half float64 }

func propagate(one func() float64) propagated {
	draws := make([]float64, monteCarloDraws)
	for i := range draws {
		draws[i] = one()
	}
	u := stat.StdDev(draws, nil)
	for i, d := range draws {
		draws[i] = math.Abs(d)
	}
	slices.Sort(draws)
	return propagated{u: u, half: stat.Quantile(0.95, stat.Empirical, draws, nil)}
}

// meanOf draws each row as often as it truly occurs in the mean of some passes, and knows nothing of how the budget
// lessens a row: what is common once, the rest in each pass.
func meanOf(rows []gauge.Row, passes int, draw drawing) float64 {
	sum := 0.0
	for _, r := range rows {
		times := passes
		if r.Common {
			times = 1
		}
		part := 0.0
		for range times {
			part += draw(r)
		}
		sum += part / float64(times)
	}
	return sum
}

// A drawing is one occurrence of a row.
type drawing func(gauge.Row) float64

// stated draws a row by the distribution that it states.
func stated(rng *rand.Rand) drawing {
	return func(r gauge.Row) float64 {
		if r.Distribution == gauge.DistNormal {
			return r.Limit * rng.NormFloat64()
		}
		return r.Limit * (2*rng.Float64() - 1)
	}
}

// unsure draws a row of type A as JCGM 101:2008, 6.4.9, has it: by Student's t with its degrees of freedom, scaled by what
// was seen, for the mean of all passes at once, fewer than one taken as one as the budget does; any other row as stated.
func unsure(rng *rand.Rand) drawing {
	known := stated(rng)
	return func(r gauge.Row) float64 {
		if r.Freedom > 0 {
			return distuv.StudentsT{Sigma: r.U, Nu: math.Max(1, r.Freedom), Src: rng}.Rand()
		}
		return known(r)
	}
}

// ruled says whether one rectangular part makes up most of the result: its ends are then nearer than any factor of 2.
func ruled(b gauge.Budget, passes int) bool {
	return slices.ContainsFunc(b.Rows, func(r gauge.Row) bool {
		return r.Distribution == gauge.DistRectangular && (r.Common || passes == 1) && r.U*r.U > b.U*b.U/2
	})
}

// How much of the interval drawn U95 must be. Where all rows are known: all of it, but for the chance of the draws. Where
// scatter is known from few passes the two guides part: the formula of Welch and Satterthwaite, which the budget has from
// JCGM 100:2008, G.4, gives up to an eighth less than Student's t of JCGM 101:2008, 6.4.9, convolved with the rest. How
// often its interval truly holds is counted in coverage_test.go.
const (
	sureFloor   = 0.99
	unsureFloor = 0.88
)

// compare holds a budget to its draws: u within 2 %; U95 at least floor of the interval, and at most 1.15 times as wide,
// or 1.22 where one rectangular part rules, whose own ratio is 2/(0.95√3) = 1.215.
func compare(t *testing.T, what string, b gauge.Budget, passes int, got propagated, floor float64) {
	t.Helper()
	most := 1.15
	if ruled(b, passes) {
		most = 1.22
	}
	t.Logf("%-34s u %.4f, drawn %.4f (%.3f); U95 %.4f, drawn %.4f (%.3f, at most %.2f)",
		what, b.U, got.u, b.U/got.u, b.U95, got.half, b.U95/got.half, most)
	near(t, what+", u over drawn", b.U/got.u, 1, 0.02)
	if ratio := b.U95 / got.half; ratio < floor || ratio > most {
		t.Errorf("%s: U95 is %.3f of the interval drawn, want %.2f to %.2f", what, ratio, floor, most)
	}
}

// The feed check's budget against JCGM 101:2008. Run with -v for the figures.
func TestFeedBudgetIsWhatIsDrawn(t *testing.T) {
	rng := rand.New(rand.NewPCG(101, 2008))
	for _, g := range gauge.Instruments() {
		for _, passes := range []int{1, 2, 3, 9} {
			w := gauge.Work{Gauge: g, MarkMM: 120, Passes: passes}
			b := w.Budget()
			got := propagate(func() float64 { return meanOf(b.Rows, passes, stated(rng)) })
			compare(t, fmt.Sprintf("%s, %d passes", g.Name, passes), b, passes, got, sureFloor)
		}
	}
}

// One more pass against the mean of the earlier ones: what is common cancels, the rest is drawn on both sides.
func TestOneMorePassIsWhatIsDrawn(t *testing.T) {
	rng := rand.New(rand.NewPCG(101, 522))
	for _, g := range gauge.Instruments() {
		for _, passes := range []int{1, 3} {
			w := gauge.Work{Gauge: g, MarkMM: 120, Passes: passes}
			rows := w.Again().Rows
			got := propagate(func() float64 { return meanOf(rows, 1, stated(rng)) - meanOf(rows, passes, stated(rng)) })
			compare(t, fmt.Sprintf("%s, one more after %d", g.Name, passes), w.Again(), 2, got, sureFloor)
		}
	}
}

// Where passes scatter, u is what the rows draw by their own distributions. U95 is wider than theirs, since the scatter is
// known from few passes: it is held to draws by Student's t, whose own standard deviation is larger (or none) and is not u.
func TestScatteredBudgetIsWhatIsDrawn(t *testing.T) {
	rng := rand.New(rand.NewPCG(101, 649))
	g, _ := gauge.Named("half_mm_rule")
	for _, passes := range []int{2, 3, 5, 9} {
		w := gauge.Work{Gauge: g, MarkMM: 120, Passes: passes, ScatterMM: 1.5}
		b := w.Budget()
		own := propagate(func() float64 { return meanOf(b.Rows, passes, stated(rng)) })
		rows := slices.Clone(b.Rows)
		rows[len(rows)-1].Common = true // its U is that of the mean already
		wide := propagate(func() float64 { return meanOf(rows, passes, unsure(rng)) })
		compare(t, fmt.Sprintf("%d passes that scatter", passes), b, passes, propagated{u: own.u, half: wide.half}, unsureFloor)
	}
}

// Ten readings of a diameter at five places: reading ten times, places five times, the caliper's limit once.
func TestDiameterBudgetIsWhatIsDrawn(t *testing.T) {
	rng := rand.New(rand.NewPCG(101, 862))
	d := gauge.DiameterOf([]float64{1.74, 1.76, 1.70, 1.70, 1.78, 1.80, 1.74, 1.72, 1.76, 1.76}, caliper(t))
	known, places := d.Budget.Rows[:2], d.Budget.Rows[2:]
	own := propagate(func() float64 { return meanOf(known, 10, stated(rng)) + meanOf(places, 5, stated(rng)) })
	wide := propagate(func() float64 { return meanOf(known, 10, stated(rng)) + unsure(rng)(places[0]) })
	compare(t, "diameter with a caliper", d.Budget, 10, propagated{u: own.u, half: wide.half}, unsureFloor)
}

// A line through points whose standard deviations are stated and differ: slope, intercept and height.
func TestLineIsWhatIsDrawn(t *testing.T) {
	rng := rand.New(rand.NewPCG(101, 15))
	points := []gauge.Point{{X: 20, SDY: 0.2}, {X: 50, SDY: 0.3}, {X: 80, SDY: 0.3}, {X: 110, SDY: 0.5}, {X: 150, SDY: 0.9}}
	truth := fitted(t, points) // all Y are 0: nothing scatters more than is stated
	slopes, intercepts, heights := make([]float64, 30_000), make([]float64, 30_000), make([]float64, 30_000)
	for i := range slopes {
		drawn := slices.Clone(points)
		for j := range drawn {
			drawn[j].Y = drawn[j].SDY * rng.NormFloat64()
		}
		l := fitted(t, drawn)
		slopes[i], intercepts[i] = l.B, l.A
		heights[i], _ = l.At(200)
	}
	_, sd := truth.At(200)
	near(t, "SDB over drawn", truth.SDB/stat.StdDev(slopes, nil), 1, 0.02)
	near(t, "SDA over drawn", truth.SDA/stat.StdDev(intercepts, nil), 1, 0.02)
	near(t, "CovAB over drawn", truth.CovAB/stat.Covariance(intercepts, slopes, nil), 1, 0.03)
	near(t, "sd at 200 over drawn", sd/stat.StdDev(heights, nil), 1, 0.02)
}
