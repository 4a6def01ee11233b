package feed

// riseSteps is how many flows a climb has, evenly spaced up to the fastest.
const riseSteps = 8

// leastFlows is how few flows could still show a level and a fall from it.
const leastFlows = 4

// riseTo lists the flows up to the fastest, mm³/s, slowest first, and those that are left out because their filament would be
// faster than mostMMPerS. None is slowed down to fit: a block at another speed than it says would bend the curve.
func riseTo(fastestMM3PerS, areaMM2, mostMMPerS float64) (tried, skipped []float64) {
	for i := 1; i <= riseSteps; i++ {
		flow := round(fastestMM3PerS * float64(i) / riseSteps)
		if tidy(SpeedMMPerS(flow, areaMM2)) > mostMMPerS {
			skipped = append(skipped, flow)
			continue
		}
		tried = append(tried, flow)
	}
	return tried, skipped
}

// between lists two flows at the thirds between the last that went in and the first that did not, mm³/s.
func between(heldMM3PerS, fellMM3PerS float64) []float64 {
	third := (fellMM3PerS - heldMM3PerS) / 3
	return []float64{round(heldMM3PerS + third), round(heldMM3PerS + 2*third)}
}

// slowestMMPerS is the slowest that filament is fed: below it a printer rounds too coarsely.
const slowestMMPerS = 0.05

// about lists a flow below the slowest and one above it, mm³/s, as far as filament can be fed so slowly.
func about(slowestMM3PerS, nextMM3PerS, areaMM2 float64) []float64 {
	below, above := round(slowestMM3PerS/2), round((slowestMM3PerS+nextMM3PerS)/2)
	if SpeedMMPerS(below, areaMM2) < slowestMMPerS {
		return []float64{above}
	}
	return []float64{below, above}
}

// markSpanMM is what a rule needs beside the blocks of a mark: 20 mm that stay outside, and 30 to hold it by.
const markSpanMM = 50

// mostOnMark is how many blocks one mark serves at most, however long the rule: then drive and nozzle rest while a new one
// is set. Common practice, no source.
const mostOnMark = 5

// blocksOnRule is how many blocks one mark on the rule is good for.
func blocksOnRule(ruleMM, blockMM float64) int {
	return min(mostOnMark, int((ruleMM-markSpanMM)/blockMM))
}
