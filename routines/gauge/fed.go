package gauge

import (
	"math"

	"gonum.org/v1/gonum/stat"
)

// What a hand adds to a reading. Common practice, no source; each is a half width, in mm.
const (
	penLineMM = 0.3  // half the width of a pen line round the filament, and how well its middle is set
	seatMM    = 0.15 // how much differently the rule is put against the inlet before and after
)

// straightBow is the bow of a filament that still looks straight along a rule, as a part of its length: 3 mm over 120.
// Common practice, no source.
const straightBow = 1.0 / 40

// Work is how a fed length was measured: the distance from the inlet to a mark before, less what is left of it after.
type Work struct {
	Gauge     Instrument
	MarkMM    float64 // the longest distance of a mark from the inlet
	Passes    int     // how many results the mean is of
	ScatterMM float64 // experimental standard deviation of those results, mm; 0 for fewer than two
}

// Measured is the work behind a list of results in mm, and their mean.
func Measured(g Instrument, markMM float64, fedMM []float64) (Work, float64) {
	w := Work{Gauge: g, MarkMM: markMM, Passes: len(fedMM)}
	if len(fedMM) == 0 {
		return w, 0
	}
	if len(fedMM) > 1 {
		w.ScatterMM = stat.StdDev(fedMM, nil)
	}
	return w, stat.Mean(fedMM, nil)
}

// CurlMM is the most that bent filament adds between an inlet and a mark lengthMM away, mm. An arc with the sagitta s
// over the chord L is longer than it by 8s²/3L (to the second order of s/L). Mark and leftover both read short by it and
// the two oppose each other in what went in, so it is taken as ± of the longer one.
func CurlMM(lengthMM float64) float64 {
	sagitta := straightBow * lengthMM
	return 8 * sagitta * sagitta / (3 * lengthMM)
}

// Budget is the uncertainty of the mean fed length, in mm.
func (w Work) Budget() Budget {
	n := math.Max(1, float64(w.Passes))
	rows := w.perPass(1 / math.Sqrt(n))
	rows = append(rows, w.common()...)
	if w.Passes > 1 {
		rows = append(rows, w.repeatability(1/math.Sqrt(n)))
	}
	return budgetOf(rows)
}

// Again is the uncertainty of how far one more pass lies from what the mean of the earlier ones promises, in mm, as
// long as instrument, seat and filament are the same: what they add to the first they add to the second too, and it
// cancels (JCGM 100:2008, 5.2.2, with a correlation of one).
func (w Work) Again() Budget {
	factor := math.Sqrt(1 + 1/math.Max(1, float64(w.Passes)))
	rows := w.perPass(factor)
	if w.Passes > 1 {
		rows = append(rows, w.repeatability(factor))
	}
	return budgetOf(rows)
}

// perPass are the rows that each pass draws anew.
func (w Work) perPass(factor float64) []Row {
	reading := w.Gauge.ReadingMM()
	return []Row{
		typeB("mark, reading", reading, factor),
		typeB("leftover, reading", reading, factor),
		typeB("pen line", penLineMM, factor),
	}
}

// common are the rows that are the same in every pass of one check.
func (w Work) common() []Row {
	rows := []Row{
		typeB("limit of the instrument", w.Gauge.LimitMM(w.MarkMM), 1),
		typeB("curl of the filament", CurlMM(w.MarkMM), 1),
		typeB("seat at the inlet", seatMM, 1),
	}
	for i := range rows {
		rows[i].Common = true
	}
	return rows
}

func typeB(name string, limitMM, factor float64) Row {
	return Row{Name: name, Type: "B", Distribution: DistRectangular, Limit: limitMM, LimitUnit: "mm",
		U: Rectangular(limitMM) * factor, Unit: "mm"}
}
