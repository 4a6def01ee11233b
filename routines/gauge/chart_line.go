package gauge

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// A LineControl watches a calibration line y = A + B x by measuring known values again (NIST/SEMATECH e-Handbook
// 2.3.7.1).
type LineControl struct {
	A, B    float64
	S       float64 // residual standard deviation of the calibration, in the unit of y
	Freedom float64 // degrees of freedom of S
	Each    int     // how many known values are measured at one occasion
	Alpha   float64 // how often an occasion of a steady line is called out: 0.05
}

// Factor is how many standard deviations the limits lie out, so that all of one occasion together are called out no
// more often than Alpha: Student's t for the part of Alpha that falls to each of independent values.
func (l LineControl) Factor() float64 {
	return distuv.StudentsT{Sigma: 1, Nu: l.Freedom}.Quantile(1 - shareOf(l.Alpha, l.Each)/2)
}

// Limit is how far a value read through the line may lie from the known one, in the unit of x.
func (l LineControl) Limit() float64 { return l.Factor() * l.S / math.Abs(l.B) }

// Chart shows how far each known value, read through the line, came out from itself, in the unit of x. What has no
// partner in the other list is not charted.
func (l LineControl) Chart(known, measured []float64) Chart {
	off := make([]float64, min(len(known), len(measured)))
	for i := range off {
		off[i] = (measured[i]-l.A)/l.B - known[i]
	}
	c := steadyChart(off, off, 0, l.Limit())
	c.Out = c.beyondLimits()
	return c
}

// shareOf is what each of n independent looks may err, so that all together err alpha.
func shareOf(alpha float64, n int) float64 {
	return 1 - math.Pow(1-alpha, 1/math.Max(1, float64(n)))
}
