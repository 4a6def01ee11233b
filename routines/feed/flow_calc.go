package feed

import (
	"math"

	"fettle/routines/gauge"
)

// inletSeatMM is how differently a rule may be put against the inlet before a block and after it, half width. Common
// practice, no source.
const inletSeatMM = 0.15

// feedScatter is how much equal blocks differ without any slip, as a part of their length. Common practice, no source.
const feedScatter = 0.002

// blockSD is the standard uncertainty of the part that went in of one block. Both its lengths are read to the same edge
// of the same mark, so neither the mark nor what the rule's scale is off by enters: that is common to all blocks, and the
// limit is found relative to the slow ones.
func blockSD(g gauge.Instrument, blockMM float64) float64 {
	reading := gauge.Rectangular(g.ReadingMM())
	return gauge.Combine(gauge.Combine(reading, reading, gauge.Rectangular(inletSeatMM))/blockMM, feedScatter)
}

// scaleU is the standard uncertainty that all parts have in common, over the rule's length: its own scale and the bow of
// the filament along it.
func scaleU(g gauge.Instrument, ruleMM float64) float64 {
	return gauge.Combine(gauge.Rectangular(g.LimitMM(ruleMM)), gauge.Rectangular(gauge.CurlMM(ruleMM))) / ruleMM
}

// fell reports whether the last of the parts lies below the first two by more than the tolerance, whatever the readings
// are off by.
func fell(parts []float64, sd, tolerance float64) bool {
	n := len(parts)
	if n < 2 {
		return false
	}
	level, of := parts[0], 1.0
	if n > 2 {
		level, of = (parts[0]+parts[1])/2, 2
	}
	return parts[n-1] < level*(1-tolerance)-gauge.CoverageFactor*sd*math.Sqrt(1+1/of)
}

// workingShare is the part of the limit that is worked with: into free air it is optimistic, since a printed line pushes
// back. Common practice, no source.
const workingShare = 0.8

// The line of usual work, as parts of the nozzle's bore. Common practice, no source.
const (
	lineOfBore  = 1.125
	layerOfBore = 0.625
)

// usualLine is the width and height of a printed line that suits a nozzle, mm.
func usualLine(boreMM float64) (widthMM, heightMM float64) {
	return round(lineOfBore * boreMM), round(layerOfBore * boreMM)
}

// TopSpeedMMPerS is the speed of the head at which a line of that width and height takes a flow: the flow over the
// section of the line, taken as a rectangle. Plain geometry. 0 where the line has no section.
func TopSpeedMMPerS(flowMM3PerS, widthMM, heightMM float64) float64 {
	if !(widthMM > 0 && heightMM > 0) {
		return 0
	}
	return flowMM3PerS / (widthMM * heightMM)
}
