package standin

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
