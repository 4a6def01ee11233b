package rung

// The climbs are what people do without a model: one length a print, a rung higher each time.

// climbRungMM is small enough to end within the tolerance.
const climbRungMM = 0.25

func climbFrom(s specimen) float64 {
	if s.start.Tube {
		return 2
	}
	return climbRungMM
}

// climbUntilNoBetter ends where a print looks no better than the one before, and takes that one.
func climbUntilNoBetter(s specimen, r *rater) ending {
	before := 5.0
	for n, mm := 1, climbFrom(s); mm <= s.start.CeilingMM; n, mm = n+1, mm+climbRungMM {
		now := meanGrade(r.look(s, []float64{mm}, false).Bands[0].Gaps)
		if now >= before {
			return ending{do: DoTake, valueMM: mm - climbRungMM, prints: n}
		}
		before = now
	}
	return ending{do: DoNotReached, prints: int((s.start.CeilingMM-climbFrom(s))/climbRungMM) + 1}
}

// climbUntilClean ends at the first print that would be judged sufficient as a confirming piece is, or shows voids there.
func climbUntilClean(s specimen, r *rater) ending {
	n := 1
	for mm := climbFrom(s); mm <= s.start.CeilingMM; mm += climbRungMM {
		p := r.look(s, []float64{mm}, true)
		switch strings := meanGrade(p.Bands[0].Gaps) >= sufficientScore; {
		case judged(p):
			return ending{do: DoTake, valueMM: mm, prints: n}
		case !strings && p.Bands[0].Voids:
			return ending{do: DoNone, prints: n}
		}
		n++
	}
	return ending{do: DoNotReached, prints: n - 1}
}
