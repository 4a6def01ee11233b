package gauge

import "math"

// A ChartPoint is one value with what a chart shows for it and the limits that held for it.
type ChartPoint struct {
	Value     float64 // as measured
	Shown     float64 // what is held against the limits: the value itself, an average, or a sum of what was too much
	Under     float64 // in a chart of sums also this one: what was too little, never above 0
	Low, High float64
}

// A Chart is a row of values in the order they were measured, with the limits that a steady process keeps to. Nothing
// in it is left out: a value beyond a limit is named in Out and stays in Points.
type Chart struct {
	Centre, Low, High float64
	Points            []ChartPoint
	Out               []Signal
}

// movingRangePerSigma is how far two values of a steady process lie apart on average, in standard deviations: d2 for
// two, as NIST/SEMATECH e-Handbook 6.3.2.2 rounds it (2/√π = 1.12838).
const movingRangePerSigma = 1.128

// farSigma is how many standard deviations from the centre the limits lie (NIST/SEMATECH e-Handbook 6.3.2.2).
const farSigma = 3

// Individuals is the chart of single values: limits from how far neighbours lie apart, so that a slow drift does not
// widen the limits it should be found by (NIST/SEMATECH e-Handbook 6.3.2.2). Fewer than two values, or values that are
// all alike, show no spread: the limits are then the centre itself and nothing is out.
func Individuals(values []float64) Chart {
	centre, sigma := meanOf(values), meanStep(values)/movingRangePerSigma
	c := steadyChart(values, values, centre, farSigma*sigma)
	if sigma > 0 {
		c.Out = signalsIn(standardised(values, centre, sigma), allRules())
	}
	return c
}

// steadyChart is a chart whose limits are the same for all points.
func steadyChart(values, shown []float64, centre, half float64) Chart {
	c := Chart{Centre: centre, Low: centre - half, High: centre + half, Points: make([]ChartPoint, len(values))}
	for i, v := range values {
		c.Points[i] = ChartPoint{Value: v, Shown: shown[i], Low: c.Low, High: c.High}
	}
	return c
}

// standardised are values as standard deviations from a centre.
func standardised(values []float64, centre, sigma float64) []float64 {
	z := make([]float64, len(values))
	for i, v := range values {
		z[i] = (v - centre) / sigma
	}
	return z
}

// meanStep is the mean of how far neighbours lie apart, 0 for fewer than two values.
func meanStep(values []float64) float64 {
	if len(values) < 2 {
		return 0
	}
	sum := 0.0
	for i := range values[1:] {
		sum += math.Abs(values[i+1] - values[i])
	}
	return sum / float64(len(values)-1)
}

// meanOf is the mean of values, 0 of none.
func meanOf(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum / math.Max(1, float64(len(values)))
}
