package standin

import "math"

// trip is the way from the end of one bead to the beginning of the next.
type trip struct {
	away     bool
	leftMM   float64 // squeezed when it was left
	landedMM float64 // that came out and went onto plastic
}

// leave begins a trip, if none is under way.
func (t *trip) leave(m *melt) {
	if !t.away {
		*t = trip{away: true, leftMM: m.squeezedMM}
	}
}

// arrive ends it: what is missing there, mm3. It is what hung in threads, air that was drawn in, and what a way back that
// was too short has not given back.
func (t *trip) arrive(m *melt, n *nature) float64 {
	t.away = false
	return max(0, t.leftMM-m.squeezedMM-t.landedMM+m.looseMM)*n.areaMM2 + n.lackMM3
}

// ooze parts what came out over open air: mm3 into a thread, mm of filament onto the plastic behind it.
func (n *nature) ooze(outMM, seconds float64) (threadMM3, landedMM float64) {
	hung := outMM * n.share
	return hung*n.areaMM2 + n.drool*seconds, outMM - hung
}

// threadUM is how thick a thread is that a volume makes over a gap: a round one, d = 2 sqrt(V/(pi g)), in um.
func threadUM(mm3, gapMM float64) float64 {
	return 2000 * math.Sqrt(max(0, mm3)/(math.Pi*gapMM))
}
