package rung

import (
	"math"
	"slices"
)

// unfit says what is wrong with a choice, whatever it rests on; nothing if nothing is.
func unfit(s Start, n Next) string {
	printing := n.Do == DoPrint || n.Do == DoConfirm
	switch {
	case printing && len(n.LengthsMM) != Bands:
		return "not eight lengths"
	case !printing && len(n.LengthsMM) != 0:
		return "a finding with lengths"
	case printing && !(n.LengthsMM[0] > 0):
		return "a length that is none"
	case printing && slices.Max(n.LengthsMM) > s.CeilingMM:
		return "above the ceiling"
	case n.Do == DoConfirm && n.LengthsMM[0] != n.LengthsMM[Bands-1]:
		return "confirming lengths that differ"
	case n.Do == DoPrint && !(n.LengthsMM[1] > n.LengthsMM[0]):
		return "lengths out of order"
	case printing && !evenly(n.LengthsMM):
		return "rungs that differ"
	case valued(n) != (n.ValueMM > 0) || n.ValueMM > s.CeilingMM:
		return "a value outside"
	case !(n.LowMM <= n.HighMM && n.HighMM <= s.CeilingMM && n.LowMM >= 0):
		return "an interval outside"
	case printing != (n.PrintsLeft >= 1):
		return "prints left do not fit"
	case len(n.Why) < 20 || len(n.Why) > 300:
		return "no reason, or too long a one"
	}
	return ""
}

// valued says whether a choice has to state a length.
func valued(n Next) bool {
	return !slices.Contains([]string{DoNone, DoDamp, DoNotReached, DoHotEnd}, n.Do)
}

func evenly(mm []float64) bool {
	for i := 2; i < len(mm); i++ {
		if math.Abs((mm[i]-mm[i-1])-(mm[1]-mm[0])) > 1e-6 {
			return false
		}
	}
	return true
}
