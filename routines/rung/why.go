package rung

import (
	"fmt"
	"slices"
)

// why is the sentence that a phone shows under a choice: what is believed, why these rungs, how many prints remain.
func (b belief) why(n Next, prints []Print) string {
	switch n.Do {
	case DoTake:
		return fmt.Sprintf("The whole piece at %.2f mm shows no more than hairs, so %.2f mm it is.", n.ValueMM, n.ValueMM)
	case DoDamp:
		return "Strings stay and no longer change up to the ceiling: no length serves; dry the filament or try 5 to 10 C cooler, then repeat."
	case DoNotReached:
		return fmt.Sprintf("Strings still thin out at the ceiling of %.2f mm: not reached; print slower or cooler, or look for play in the path.", b.start.CeilingMM)
	case DoNone:
		return "Wherever strings are few enough the beads have voids: no length serves; look at restart speed and flow first."
	case DoHotEnd:
		return "Filament was ground, clicked or stopped: look at gear and hot end first, the length cannot mend that."
	case DoCannotTell:
		return fmt.Sprintf("After %d prints the grades do not agree on a length; most likely %.2f to %.2f mm.", len(prints), n.LowMM, n.HighMM)
	case DoConfirm:
		return fmt.Sprintf("%s; a whole piece at %.2f mm, %s; about %s.", b.believed(n), n.ValueMM, b.purpose(n), remaining(n))
	}
	return fmt.Sprintf("%s; bands from %.2f to %.2f mm by %.2f %s; about %s.", b.believed(n), n.LengthsMM[0],
		n.LengthsMM[Bands-1], n.LengthsMM[1]-n.LengthsMM[0], reason(n, prints), remaining(n))
}

// purpose is what a whole piece at one length is for.
func (b belief) purpose(n Next) string {
	if n.ValueMM == b.scale.held(b.scale.top, b.start.CeilingMM) {
		return "the longest allowed, tells whether one does"
	}
	return "a little on the long side, is to confirm it"
}

// believed says where strings end, and how sure it is that they do.
func (b belief) believed(n Next) string {
	if b.serves() < 0.5 {
		return fmt.Sprintf("Perhaps no length up to %.2f mm serves", b.start.CeilingMM)
	}
	if n.LowMM == n.HighMM {
		return fmt.Sprintf("Strings seem to end near %.2f mm", n.LowMM)
	}
	return fmt.Sprintf("Strings seem to end between %.2f and %.2f mm", n.LowMM, n.HighMM)
}

// reason says why the bands lie where they lie.
func reason(n Next, prints []Print) string {
	if len(prints) == 0 {
		return "cover what is likely"
	}
	if slices.ContainsFunc(prints, func(p Print) bool { return p.shares(n.LengthsMM) }) {
		return "look again where most is open"
	}
	return "lie between the earlier ones, where most is open"
}

// shares says whether a print has bands at one of the lengths.
func (p Print) shares(lengthsMM []float64) bool {
	return slices.ContainsFunc(p.Bands, func(b Band) bool { return slices.Contains(lengthsMM, b.LengthMM) })
}

func remaining(n Next) string {
	if n.PrintsLeft < 1.5 {
		return "1 print left, this one"
	}
	return fmt.Sprintf("%.0f prints left, this one among them", n.PrintsLeft)
}
