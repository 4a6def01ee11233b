package gauge

import "math"

// EWMA is the chart of an average that forgets: each new value counts lambda, all before it the rest. It finds small
// shifts that single values hide (NIST/SEMATECH e-Handbook 6.3.2.4). sigma0 is the standard deviation of single values and
// the average starts at centre; limitSigma is usually 3. The limits are those of a long row, as the handbook's are, so
// that the first few points are judged mildly. A lambda outside 0 < lambda <= 1 makes no chart.
func EWMA(values []float64, lambda, limitSigma, sigma0, centre float64) Chart {
	if !(lambda > 0 && lambda <= 1) {
		return Chart{}
	}
	shown := averages(values, lambda, centre)
	half := limitSigma * sigma0 * math.Sqrt(lambda/(2-lambda))
	c := steadyChart(values, shown, centre, half)
	c.Out = c.beyondLimits()
	return c
}

// averages are the average that forgets after each of the values; it starts at centre.
func averages(values []float64, lambda, centre float64) []float64 {
	out, average := make([]float64, len(values)), centre
	for i, v := range values {
		average = lambda*v + (1-lambda)*average
		out[i] = average
	}
	return out
}

// CUSUM is the chart of two sums: of what was above centre and of what was below, each less slack for every value and
// never across 0 (NIST/SEMATECH e-Handbook 6.3.2.3). Slack is half the shift that is looked for, decision the sum at
// which it is found, both in the unit of the values. The sums stand around 0, whatever the centre.
func CUSUM(values []float64, centre, slack, decision float64) Chart {
	above, below := make([]float64, len(values)), make([]float64, len(values))
	up, down := 0.0, 0.0
	for i, v := range values {
		up = math.Max(0, up+v-centre-slack)
		down = math.Min(0, down+v-centre+slack)
		above[i], below[i] = up, down
	}
	c := steadyChart(values, above, 0, decision)
	for i := range c.Points {
		c.Points[i].Under = below[i]
	}
	c.Out = c.beyondLimits()
	return c
}

// beyondLimits holds what is shown against each point's own limits and nothing else: averages and sums follow on each
// other, so that rules about rows of them would be broken by a steady process.
func (c Chart) beyondLimits() []Signal {
	z := make([]float64, len(c.Points))
	for i, p := range c.Points {
		if p.Shown > p.High {
			z[i] = math.Inf(1)
		}
		if p.Shown < p.Low || p.Under < math.Min(0, p.Low) {
			z[i] = math.Inf(-1)
		}
	}
	return signalsIn(z, []rule{beyondRule()})
}
