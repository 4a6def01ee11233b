package rung

import "slices"

// When a belief is sure enough.
const (
	sureClose = 0.85 // to confirm: that the value is sufficient and lies within the tolerance
	sureNone  = 0.97 // to say that no length serves: nothing is printed to confirm it
)

// Choose says what to do after these prints. It is a pure function of them.
func Choose(s Start, prints []Print) Next {
	s = s.sound()
	b := believe(s, prints)
	n := b.next(prints)
	n.ValueMM = b.scale.held(b.choice(), s.CeilingMM)
	n.LowMM = b.scale.held(b.quantile(0.05), s.CeilingMM)
	n.HighMM = b.scale.held(b.quantile(0.95), s.CeilingMM)
	return b.finish(n, prints)
}

// next is the decision alone.
func (b belief) next(prints []Print) Next {
	switch {
	case taken(b, prints):
		return Next{Do: DoTake}
	case len(prints) >= MostPrints:
		return Next{Do: DoCannotTell}
	case 1-b.serves() >= sureNone && b.damp >= b.beyond():
		return Next{Do: DoDamp}
	case 1-b.serves() >= sureNone:
		return Next{Do: DoNotReached}
	case b.serves() >= sureNone && b.spoilt() >= sureNone:
		return Next{Do: DoNone}
	case len(prints) == 0:
		return Next{Do: DoPrint, LengthsMM: opening(b.start, b.scale).lengths(b)}
	case b.serves()*b.promise(b.choice()) >= sureClose:
		return Next{Do: DoConfirm, LengthsMM: slices.Repeat([]float64{b.scale.held(b.choice(), b.start.CeilingMM)}, Bands)}
	}
	p, _ := b.best()
	return Next{Do: DoPrint, LengthsMM: p.lengths(b)}
}

func taken(b belief, prints []Print) bool {
	if len(prints) == 0 {
		return false
	}
	last := prints[len(prints)-1]
	return last.Confirming && judged(last)
}

func (b belief) finish(n Next, prints []Print) Next {
	if n.Do == DoTake {
		n.ValueMM = prints[len(prints)-1].Bands[0].LengthMM
	}
	n.Why = b.why(n, len(prints))
	if len(n.LengthsMM) > 0 {
		n.PrintsLeft = 2
	}
	return n
}
