package gauge

import "math"

// CoverageFactor is the least k that makes an interval of about 95 % out of a combined standard uncertainty
// (JCGM 100:2008, 6.2.2 and 6.3.3: k = 2 where the combination is near normal). Few results ask for more: freedom.go.
const CoverageFactor = 2

// The distributions that a Row may state.
const (
	DistRectangular = "rectangular"
	DistNormal      = "normal"
)

// A Row is one contribution to an uncertainty.
type Row struct {
	Name         string
	Type         string  // "A": from a series of results; "B": from anything else
	Distribution string  // one of the Dist constants
	Limit        float64 // half width of one occurrence; standard deviation where the distribution is normal
	LimitUnit    string  // what Limit is in, whatever unit the result is in
	U            float64 // standard uncertainty of the contribution to the result
	Unit         string
	Common       bool    // the same in every pass: repeats do not lessen it
	Freedom      float64 // degrees of freedom of U; 0 where U is taken as known, as in every row of type B
}

// A Budget is the rows of a result with what they come to together.
type Budget struct {
	Rows    []Row
	U       float64 // combined standard uncertainty
	Freedom float64 // effective degrees of freedom of U, +Inf where every row is taken as known
	K       float64 // coverage factor
	U95     float64 // expanded: K times U
}

// Rectangular is the standard uncertainty of a quantity that lies anywhere within ±half width (JCGM 100:2008, 4.3.7).
func Rectangular(halfWidth float64) float64 { return halfWidth / math.Sqrt(3) }

// Between is the standard uncertainty of a quantity known only to lie below its estimate by at most below and above it
// by at most above (JCGM 100:2008, 4.3.8).
func Between(below, above float64) float64 { return (below + above) / math.Sqrt(12) }

// Combine is the root of the sum of squares of contributions that do not depend on each other (JCGM 100:2008, 5.1.2).
func Combine(us ...float64) float64 {
	sum := 0.0
	for _, u := range us {
		sum += u * u
	}
	return math.Sqrt(sum)
}

func budgetOf(rows []Row) Budget {
	us := make([]float64, len(rows))
	for i, r := range rows {
		us[i] = r.U
	}
	u, freedom := Combine(us...), EffectiveFreedom(rows)
	k := CoverageAt(freedom)
	return Budget{Rows: rows, U: u, Freedom: freedom, K: k, U95: k * u}
}

// Times carries a budget to a result that is factor times as large, in another unit: fed length to steps/mm, or to
// per cent. A limit is what its instrument or hand was found to do, and stays in the unit it was found in.
func (b Budget) Times(factor float64, unit string) Budget {
	factor = math.Abs(factor)
	rows := make([]Row, len(b.Rows))
	for i, r := range b.Rows {
		r.U *= factor
		r.Unit = unit
		rows[i] = r
	}
	return budgetOf(rows)
}

// Largest is the row that contributes most, and the zero Row where there are none.
func (b Budget) Largest() Row {
	var most Row
	for _, r := range b.Rows {
		if r.U > most.U {
			most = r
		}
	}
	return most
}
