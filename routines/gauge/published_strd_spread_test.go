package gauge_test

import (
	"math"
	"math/big"
	"testing"

	"fettle/routines/gauge"
)

// Certified values of NIST/ITL Statistical Reference Datasets, univariate summary statistics: Lottery.dat, Mavro.dat,
// Michelso.dat, NumAcc1.dat to NumAcc4.dat; r1 is the autocorrelation at a lag of one.
func TestSpreadIsTheReferenceDatasets(t *testing.T) {
	for _, set := range []struct {
		name         string
		mean, sd, r1 float64
		part         float64 // of each value
	}{
		{"lottery", 518.958715596330, 291.699727470969, -0.120948622967393, 1e-12},
		{"mavro", 2.00185600000000, 0.000429123454003053, 0.937989183438248, 1e-9},
		{"michelso", 299.852400000000, 0.0790105478190518, 0.535199668621283, 1e-9},
		{"numacc1", 10000002, 1, -0.5, 1e-12},
	} {
		s := gauge.SpreadOf(readPublished(t, "strd_"+set.name)["y"])
		digits(t, set.name+" mean", s.Mean, set.mean, min(set.part, 1e-12))
		digits(t, set.name+" s", s.SD, set.sd, set.part)
		digits(t, set.name+" r1", s.Lag1, set.r1, set.part)
	}
}

// alternating is how NumAcc2, 3 and 4 are made: 1001 values, v first, then 0.1 below and above it by turns.
func alternating(v, below, above float64) []float64 {
	values := []float64{v}
	for range 500 {
		values = append(values, below, above)
	}
	return values
}

// The tenths of NumAcc3 and NumAcc4 are not numbers that a computer holds: 10000000.1 is off by up to 9e-10 as soon as it
// is typed, which is 1e-8 of the deviation. So the certified values are reached as far as that lets them be, and those of
// the numbers as they are held, worked out with 200 digits, to the last but two.
func TestSpreadKeepsTheDigitsOfLargeNumbers(t *testing.T) {
	for _, set := range []struct {
		name   string
		values []float64
		mean   float64
		part   float64 // of s and r1
	}{
		{"numacc2", alternating(1.2, 1.1, 1.3), 1.2, 1e-12},
		{"numacc3", alternating(1000000.2, 1000000.1, 1000000.3), 1000000.2, 2e-9},
		{"numacc4", alternating(10000000.2, 10000000.1, 10000000.3), 10000000.2, 2e-8},
	} {
		s := gauge.SpreadOf(set.values)
		digits(t, set.name+" mean", s.Mean, set.mean, 1e-15)
		digits(t, set.name+" s", s.SD, 0.1, set.part)
		digits(t, set.name+" r1", s.Lag1, -0.999, set.part)
		digits(t, set.name+" s as held", s.SD, heldSD(set.values), 1e-14)
	}
}

// The way of one pass, the mean of the squares less the square of the mean, has no digit left of NumAcc4: a check that the
// data can tell a good way from a bad one.
func TestNumAcc4DefeatsOnePass(t *testing.T) {
	values := alternating(10000000.2, 10000000.1, 10000000.3)
	var sum, squares float64
	for _, v := range values {
		sum += v
		squares += v * v
	}
	n := float64(len(values))
	variance := (squares - sum*sum/n) / (n - 1)
	if off := math.Abs(math.Sqrt(math.Max(0, variance))/0.1 - 1); off < 0.01 {
		t.Errorf("one pass came within %.1e of it", off)
	}
}

// heldSD is the standard deviation of the values as they are held, with 200 digits.
func heldSD(values []float64) float64 {
	exact := func(v float64) *big.Float { return new(big.Float).SetPrec(700).SetFloat64(v) }
	n, sum, squares := exact(float64(len(values))), exact(0), exact(0)
	for _, v := range values {
		sum.Add(sum, exact(v))
	}
	mean := sum.Quo(sum, n)
	for _, v := range values {
		away := exact(v)
		away.Sub(away, mean)
		squares.Add(squares, away.Mul(away, away))
	}
	variance := squares.Quo(squares, exact(float64(len(values)-1)))
	sd, _ := variance.Sqrt(variance).Float64()
	return sd
}
