package gauge

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// StudentT is how many standard uncertainties either way hold that part of the chance, 0.95 for 95 %, where the uncertainty
// has that many degrees of freedom, or +Inf (JCGM 100:2008, G.3 and table G.2); fewer than one are taken as one.
func StudentT(confidence, freedom float64) float64 {
	upper := 1 - (1-confidence)/2
	if math.IsInf(freedom, 1) {
		return distuv.UnitNormal.Quantile(upper)
	}
	return distuv.StudentsT{Sigma: 1, Nu: math.Max(1, freedom)}.Quantile(upper)
}

// studentTail is the chance that lies farther out than t either way.
func studentTail(t, freedom float64) float64 {
	t = math.Abs(t)
	if math.IsInf(freedom, 1) {
		return 2 * distuv.UnitNormal.Survival(t)
	}
	return 2 * distuv.StudentsT{Sigma: 1, Nu: freedom}.Survival(t)
}
