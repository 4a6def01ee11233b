package ladder

import (
	"cmp"
	"fmt"
	"math"
	"slices"

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
	for len(l.past.judged) < mostTravelPieces && (!shows(l.past.judged, enough) || steady(l.past.judged, enough) == 0) {
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
	return l.travelFound(enough, steady(l.past.judged, enough))
}

// mostTravelPieces ends the travel ladder of a machine whose pieces come loose, or are cut off, again and again.
const mostTravelPieces = 3

// shows reports whether the pieces say something of a speed: a band of it was judged, or layers shifted or a post fell in it.
func shows(judged []gradesBody, enough float64) bool {
	for _, g := range judged {
		for _, b := range g.Bands {
			if math.Abs(b.Value-enough) < 1e-6 && (b.Grade != nil || g.knocked(b)) {
				return true
			}
		}
	}
	return false
}

// knocked reports whether it was in this band that the piece was spoiled by how the head moves. The bands above it were not
// judged either, and say nothing.
func (g gradesBody) knocked(b bandSeen) bool {
	return b.Letter == g.From && (g.Spoiled == "layers_shifted" || g.Spoiled == "post_fell")
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

// steady is the fastest speed up to what is enough below which no band looks worse than the best by more than a grade, and
// none was knocked. 0 where there is none.
func steady(judged []gradesBody, enough float64) float64 {
	best := math.MaxInt
	type shown struct {
		value float64
		worst int
	}
	var bands []shown
	for _, g := range judged {
		for _, b := range g.Bands {
			switch {
			case b.Grade != nil:
				best = min(best, b.worst())
				bands = append(bands, shown{b.Value, b.worst()})
			case g.knocked(b):
				bands = append(bands, shown{b.Value, math.MaxInt})
			}
		}
	}
	slices.SortFunc(bands, func(a, b shown) int { return cmp.Or(cmp.Compare(a.value, b.value), cmp.Compare(b.worst, a.worst)) })
	found := 0.0
	for _, b := range bands {
		if b.value > enough+1e-9 || b.worst > best+1 {
			break
		}
		found = b.value
	}
	return found
}
