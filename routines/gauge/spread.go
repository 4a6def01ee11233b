package gauge

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// A Spread is what a series of readings of one thing tells by itself, in their unit.
type Spread struct {
	N                int
	Mean             float64
	SD               float64 // experimental standard deviation of one reading (JCGM 100:2008, 4.2.2); 0 for fewer than two
	U95              float64 // expanded uncertainty of the mean by scatter alone; +Inf for fewer than two, which show none
	Low, High, Range float64 // lowest, highest, and how far they lie apart
	// Lag1 is the correlation of each reading with the next one, -1 to 1. Far from 0 the readings drift or swing, are not
	// independent, and U95 says too little (JCGM 100:2008, 4.2.7). 0 where all readings are the same.
	Lag1 float64
}

// SpreadOf is the spread of readings in the order in which they were taken. U95 is Student's t times SD/√N (JCGM 100:2008,
// 4.2.3 and G.3.2). All is counted from the first reading, so that what they have in common costs no digits. Readings that
// are not finite give results that are not.
func SpreadOf(values []float64) Spread {
	if len(values) == 0 {
		return Spread{U95: math.Inf(1)}
	}
	from := values[0]
	away := make([]float64, len(values))
	for i, v := range values {
		away[i] = v - from
	}
	low, high := slices.Min(values), slices.Max(values)
	s := Spread{N: len(values), Mean: from + stat.Mean(away, nil), U95: math.Inf(1), Low: low, High: high, Range: high - low}
	if s.N > 1 {
		s.SD = stat.StdDev(away, nil)
		s.U95 = StudentT(0.95, float64(s.N-1)) * stat.StdErr(s.SD, float64(s.N))
		s.Lag1 = lag1(away)
	}
	return s
}

// lag1 is the autocorrelation at a lag of one, both means being that of the whole series (NIST/SEMATECH e-Handbook,
// 1.3.5.12).
func lag1(values []float64) float64 {
	mean := stat.Mean(values, nil)
	var along, all float64
	for i, v := range values {
		all += (v - mean) * (v - mean)
		if i > 0 {
			along += (values[i-1] - mean) * (v - mean)
		}
	}
	if all == 0 {
		return 0
	}
	return along / all
}
