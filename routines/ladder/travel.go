package ladder

import (
	"fmt"
	"math"

	"fettle/routines"
	"fettle/routines/melt"
	"fettle/routines/piece"
)

// rungMMPerS is how far two bands of travel speed lie apart (common practice, no source).
const rungMMPerS = 25.0

// enoughWithin is how much longer than the shortest time the longest usual travel may take.
const enoughWithin = 0.03

// travel proves the speed that is fast enough: what is found is computed from the machine's own acceleration, and one piece
// shows that nothing shifts, no post is knocked and no band looks worse.
func (l *ladder) travel() (routines.Finding, error) {
	enough := l.haste().EnoughMMPerS()
	for len(l.past.judged) == 0 {
		values := l.speeds(enough)
		again, err := l.print(wanted{values: values, low: values[0], high: values[len(values)-1], left: 1,
			why: fmt.Sprintf("Over %g mm nothing faster than %g mm/s gains 3 %% on this machine; the piece shows whether it holds.", l.in.LongestMM, enough)})
		if err != nil {
			return routines.Finding{}, err
		}
		if !again {
			return l.later(fmt.Sprintf("%g mm/s are enough by computation; no piece has shown it yet.", enough)), nil
		}
	}
	return l.travelFound(enough, steady(l.past.judged, enough)), nil
}

func (l *ladder) haste() melt.Haste {
	return melt.Haste{LongestMM: l.in.LongestMM, AccelMMPerS2: l.limits.travelAccel(), MostMMPerS: l.limits.MaxFeedMMPerS[0], StepMMPerS: rungMMPerS, Within: enoughWithin}
}

// slowestMMPerS is the slowest band of a travel piece: near the 40 mm/s that show a machine at its worst.
const slowestMMPerS = 30.0

// speeds are eight rungs, what is enough among them and one above it where the printer goes so fast. Where eight rungs of the
// usual size do not fit they lie closer.
func (l *ladder) speeds(enough float64) []float64 {
	slowest, below := math.Min(slowestMMPerS, enough/3), float64(piece.Bands-2)
	step := math.Min(rungMMPerS, math.Floor((enough-slowest)/below))
	top := enough + step
	if top > l.limits.MaxFeedMMPerS[0] {
		step = math.Min(rungMMPerS, math.Floor((enough-slowest)/(below+1)))
		top = enough
	}
	values := make([]float64, piece.Bands)
	for i := range values {
		values[i] = top - step*float64(piece.Bands-1-i)
	}
	return values
}

// steady is the fastest speed up to what is enough at which the pieces show nothing worse than at the slower ones, by more
// than a grade. 0 where there is none.
func steady(judged []gradesBody, enough float64) float64 {
	best, found := math.MaxInt, 0.0
	for _, g := range judged {
		for _, b := range g.Bands {
			if b.Grade != nil {
				best = min(best, b.worst())
			}
		}
		for _, b := range g.Bands {
			if b.Grade != nil && b.Value <= enough+1e-9 && b.worst() <= best+1 {
				found = math.Max(found, b.Value)
			}
		}
	}
	return found
}
