package rung

import "math"

// What a belief comes to: chances, quantiles, the value to choose.

// toleranceMM is how near a found length has to lie to the true one.
const toleranceMM = 0.25

// The chance of being sufficient that a chosen value should have: a little too long costs less than a little too short.
const (
	leastSure = 0.6
	mostSure  = 0.8
)

// marginMM is what a value may lie beyond the least sure one, well within the tolerance.
const marginMM = 0.15

// medianOfBands is the scatter of the median of eight looks as a part of that of one: sqrt(pi/2/8).
const medianOfBands = 0.44

// serves is the chance that some length up to the ceiling suffices.
func (b belief) serves() float64 { return b.mass(0, b.scale.top) }

// beyond is the chance that strings would end only above the ceiling.
func (b belief) beyond() float64 { return b.mass(b.scale.top+1, len(b.need)-1) }

// mass is the chance that the needed length lies between two steps, both among them.
func (b belief) mass(from, to int) float64 {
	sum := 0.0
	for k := max(0, from); k <= min(to, len(b.need)-1); k++ {
		sum += b.need[k]
	}
	return sum
}

// quantile is the shortest length, in steps, that is long enough with the given chance, if any up to the ceiling is.
func (b belief) quantile(chance float64) int {
	goal, sum := chance*b.serves(), 0.0
	for k := range b.scale.top + 1 {
		if sum += b.need[k]; sum >= goal && sum > 0 {
			return k
		}
	}
	return b.scale.top
}

// choice is the value to confirm and to take: sufficient with a chance between leastSure and mostSure, or by marginMM
// more than the least sure where the belief is narrower than that, and of those the one most likely to be confirmed
// within the tolerance. Without the margin a sharp belief would ask for a piece at the very brink, again and again.
func (b belief) choice() int {
	least := max(1, b.quantile(leastSure))
	most := max(b.quantile(mostSure), least+b.scale.whole(marginMM*b.start.fine()))
	best, top := least, -1.0
	for k := least; k <= min(most, b.scale.top); k++ {
		if promise := b.promise(k); promise > top {
			best, top = k, promise
		}
	}
	return min(best, b.scale.top)
}

// promise is the chance that a value is confirmed and lies within the tolerance, if any length serves.
func (b belief) promise(steps int) float64 {
	return b.close(steps) * b.confirms(steps) * b.voids.free(steps)
}

// confirms is the chance that no gap of a piece at this length shows more than hairs, as far as the strings go.
func (b belief) confirms(steps int) float64 {
	mm, sum, count := b.scale.at(steps), 0.0, 0
	for _, h := range b.atoms {
		if !h.damp && h.need <= b.scale.top {
			sum += phi((sufficientScore - h.score(mm)) / (b.scatter * medianOfBands))
			count++
		}
	}
	return sum / math.Max(1, float64(count))
}

// close is the chance that a value lies within the tolerance of the shortest sufficient length, if there is one.
func (b belief) close(steps int) float64 {
	serves := b.serves()
	if serves == 0 {
		return 0
	}
	around := b.scale.whole(toleranceMM * b.start.fine())
	return b.mass(steps-around, min(steps+around, b.scale.top)) / serves
}
