package spool

import (
	"math"
	"slices"
)

// When a reading looks like a slip of hand, jaw or key. Our own choice: most slips of a tenth of a millimetre
// and more are found, and of twenty spools without one about one is asked again for a reading (the tests count both).
const (
	mostSlips    = 3    // one reading in so many at most: more of them are no slips
	enoughToTell = 4    // earlier readings, from which on their own scatter tells what is far
	farSDs       = 4.5  // standard deviations of the others
	farLeast     = 0.04 // and never nearer than this part of the diameter that is fitted, 0.07 mm of 1.75,
	farDivisions = 2    // or so many divisions of the gauge
)

// floorMM is the least distance from the others that is worth a second look, mm.
func (s *spool) floorMM() float64 {
	return math.Max(farLeast*s.Setup.FilamentDiameterMM, farDivisions*s.gauge.DivisionMM)
}

// strays lists the readings, counted from 1, that are far from all others. Where many are, none is: that is the filament.
func strays(readMM []float64, floorMM float64) []int {
	var out []int
	for i, mm := range readMM {
		others := without(readMM, i+1)
		if middle, far := middleOf(others, floorMM); math.Abs(mm-middle) > far+rounding {
			out = append(out, i+1)
		}
	}
	if mostSlips*len(out) > len(readMM) {
		return nil
	}
	return out
}

// rounding keeps a reading at the very limit from being taken for one beyond it, mm.
const rounding = 1e-9

// middleOf is the median of readings, and how far from it the next one may be. Median and median deviation are moved by no
// single reading; over 0.6745 the latter is a standard deviation where the readings are normal (NIST/SEMATECH e-Handbook,
// 1.3.5.17, from memory).
func middleOf(readMM []float64, floorMM float64) (middle, far float64) {
	middle = median(readMM)
	away := make([]float64, len(readMM))
	for i, mm := range readMM {
		away[i] = math.Abs(mm - middle)
	}
	return middle, math.Max(floorMM, farSDs*median(away)/0.6745)
}

func median(values []float64) float64 {
	sorted := slices.Sorted(slices.Values(values))
	n := len(sorted)
	if n == 0 {
		return 0
	}
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}

// likely is where the next reading is to be expected after those before it, mm: near them once they are enough to tell,
// before that about as far off as filament of one size can be.
func (s *spool) likely(before []float64) [2]float64 {
	middle, far := s.Setup.FilamentDiameterMM, (s.usable.Max-s.usable.Min)/2
	if len(before) > 0 {
		middle = median(before)
	}
	if len(before) >= enoughToTell {
		middle, far = middleOf(before, s.floorMM())
	}
	return [2]float64{tidy(middle - far), tidy(middle + far)}
}

// slipped reports whether the newest reading was not to be expected.
func (s *spool) slipped() bool {
	n := len(s.readMM)
	if n == 0 {
		return false
	}
	likely := s.likely(s.readMM[:n-1])
	return s.readMM[n-1] < likely[0]-rounding || s.readMM[n-1] > likely[1]+rounding
}
