package gauge

import "math"

// driftLambda is how much a check counts in the average that forgets: the upper end of what the NIST/SEMATECH e-Handbook
// calls usual, and what its own example takes (6.3.2.4), since checks are few.
const driftLambda = 0.3

// memoryOf is the chart of an average that forgets (EWMA), of checks in the order in which they were made around their weighted mean; weight
// is the sum of their weights.
//
// The chart of the handbook (6.3.2.4) asks for one standard deviation of all values, and takes the centre as known. Here
// each check has its own deviation s, and the centre C = (Σ w x)/W, with w = 1/s², is made of the same checks. So the limits
// are worked out for each check. Begun at C, the average after i checks is C + Σ aⱼ (xⱼ - C) with aⱼ = λ (1-λ)^(i-j), whose
// sum is A = 1 - (1-λ)^i. Of independent checks
//
//	Var(Σ aⱼ xⱼ) = Σ aⱼ² sⱼ²    Cov(Σ aⱼ xⱼ, C) = Σ aⱼ wⱼ sⱼ² / W = A/W    Var(C) = 1/W
//
// so that the average lies off C with the variance Σ aⱼ² sⱼ² - 2A·A/W + A²/W = Σ aⱼ² sⱼ² - A²/W.
//
// The limits hold all averages of a steady row as often as those of single checks hold these. Averages follow on each other,
// so that they hold them a little more often.
func memoryOf(checks []Check, centre, weight float64) Chart {
	c := Chart{Centre: centre, Low: centre, High: centre, Points: make([]ChartPoint, len(checks))}
	z := make([]float64, len(checks))
	factor := beyondAll(len(checks))
	shown := averages(valuesOf(checks), driftLambda, centre)
	squares, rest := 0.0, 1.0 // rest is (1-λ)^i
	for i, check := range checks {
		rest *= 1 - driftLambda
		squares = driftLambda*driftLambda/check.weight() + (1-driftLambda)*(1-driftLambda)*squares
		half := factor * rootOfRest(squares, (1-rest)*(1-rest)/weight)
		c.Low, c.High = centre-half, centre+half // of the last check in the end
		c.Points[i] = ChartPoint{Value: check.Value, Shown: shown[i], Low: c.Low, High: c.High}
		if half > 0 {
			z[i] = farSigma * (shown[i] - centre) / half
		}
	}
	c.Out = signalsIn(z, []rule{{RuleAverage, 1, bothSides(), beyond(1, farSigma)}})
	return c
}

func valuesOf(checks []Check) []float64 {
	values := make([]float64, len(checks))
	for i, c := range checks {
		values[i] = c.Value
	}
	return values
}

// rootOfRest is the root of a - b, and 0 where only the rounding of the two is left: one check is its own centre.
func rootOfRest(a, b float64) float64 {
	if a-b <= 16*epsilon*a {
		return 0
	}
	return math.Sqrt(a - b)
}
