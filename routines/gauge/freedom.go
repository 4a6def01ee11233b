package gauge

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// EffectiveFreedom is how many degrees of freedom the combination of rows has, by the Welch-Satterthwaite formula (JCGM
// 100:2008, G.4.1): u⁴ over the sum of each row's u⁴ per degree of freedom. Rows that are taken as known add
// nothing to that sum; +Inf where all are.
func EffectiveFreedom(rows []Row) float64 {
	var variance, doubt float64
	for _, r := range rows {
		variance += r.U * r.U
		if r.Freedom > 0 {
			doubt += math.Pow(r.U, 4) / r.Freedom
		}
	}
	if doubt == 0 {
		return math.Inf(1)
	}
	return variance * variance / doubt
}

// StudentT95 is how many standard uncertainties either way hold 95 % where the uncertainty has that many degrees of freedom
// (JCGM 100:2008, G.3 and table G.2); fewer than one are taken as one.
func StudentT95(freedom float64) float64 {
	if math.IsInf(freedom, 1) {
		return distuv.UnitNormal.Quantile(0.975)
	}
	return distuv.StudentsT{Sigma: 1, Nu: math.Max(1, freedom)}.Quantile(0.975)
}

// CoverageAt is the coverage factor for an interval of about 95 %: Student's t at the next lower whole number of degrees of
// freedom (JCGM 100:2008, G.4.1), and never below 2. They are rounded to a tenth first, as the guide's own example does,
// which prints 18.9987 as 19.0 and takes t of 19.
func CoverageAt(freedom float64) float64 {
	if math.IsInf(freedom, 1) {
		return CoverageFactor
	}
	return math.Max(CoverageFactor, StudentT95(math.Floor(math.Round(10*freedom)/10)))
}
