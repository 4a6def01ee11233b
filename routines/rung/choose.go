package rung

// When a belief is sure enough.
const (
	sureClose = 0.95 // to confirm: that the value lies within the tolerance of the shortest that suffices
	sureNone  = 0.97 // to say that no length serves: nothing is printed to confirm it
	sureWhy   = 0.85 // to say why not: damp, or not reached
	whyPrints = 4    // prints after which the likelier reason has to do
)

// endWorth is what the end of a ladder is worth, in nats of information: a piece that may end it is printed before one
// that only tells a little more.
const endWorth = 1.0

// Choose says what to do after these prints. It is a pure function of them.
func Choose(s Start, prints []Print) Next {
	s = s.sound()
	b := believe(s, prints)
	n := b.ended(prints)
	if n.Do == "" {
		n = b.further(len(prints))
	}
	n.Why = b.why(n, prints)
	return n
}

// ended is the finding, if there is one.
func (b belief) ended(prints []Print) Next {
	serves := b.serves()
	switch {
	case starved(prints, b.value()):
		return Next{Do: DoHotEnd}
	case b.confirmed(prints):
		return b.valued(DoTake, prints[len(prints)-1].lengthMM())
	case serves <= 1-sureNone && b.toldApart(len(prints)):
		return Next{Do: b.forbids()}
	case serves >= sureNone && b.spoilt() >= sureNone:
		return Next{Do: DoNone}
	case len(prints) >= MostPrints:
		return b.valued(DoCannotTell, b.value())
	}
	return Next{}
}

// toldApart says whether it is known why no length serves, or has cost enough prints.
func (b belief) toldApart(prints int) bool {
	damp := b.damp / (b.damp + b.beyond())
	return damp >= sureWhy || damp <= 1-sureWhy || prints >= whyPrints
}

// forbids is why no length serves: the strings no longer change, or they still do at the ceiling.
func (b belief) forbids() string {
	if b.damp >= b.beyond() {
		return DoDamp
	}
	return DoNotReached
}

// further is the next piece.
func (b belief) further(prints int) Next {
	if prints == 0 {
		return b.piece(opening(b.start, b.scale))
	}
	l, confirming := b.lens(), placement{first: b.choice()}
	best, gain := b.best(l)
	if b.close(confirming.first) >= sureClose && l.gain(confirming.lengths(b))+b.endWorth() >= gain {
		best = confirming
	}
	return b.piece(best)
}

// endWorth is what the chance to end with the next piece is worth.
func (b belief) endWorth() float64 { return endWorth * b.serves() * b.promise(b.choice()) }

// piece asks for eight bands at a placement; at equal lengths they confirm.
func (b belief) piece(p placement) Next {
	do := DoPrint
	if p.rung == 0 {
		do = DoConfirm
	}
	n := b.valued(do, b.value())
	n.LengthsMM = p.lengths(b)
	n.PrintsLeft = b.left(p)
	return n
}

// value is the length to take, as far as is known, in mm.
func (b belief) value() float64 { return b.scale.held(b.choice(), b.start.CeilingMM) }

// valued states a length with the interval believed.
func (b belief) valued(do string, mm float64) Next {
	low, high := b.quantile(0.05), b.quantile(0.95)
	return Next{Do: do, ValueMM: mm, LowMM: b.scale.held(low, b.start.CeilingMM), HighMM: b.scale.held(high, b.start.CeilingMM)}
}

// confirmed says whether the last print confirmed its length.
func (b belief) confirmed(prints []Print) bool {
	if len(prints) == 0 {
		return false
	}
	last := prints[len(prints)-1]
	mm := last.lengthMM()
	return last.Confirming && mm > 0 && mm <= b.start.CeilingMM && judged(last)
}

// lengthMM is the single length of a confirming piece; 0 where there is none.
func (p Print) lengthMM() float64 {
	for _, b := range p.Bands {
		if b.LengthMM != p.Bands[0].LengthMM {
			return 0
		}
	}
	if len(p.Bands) == 0 {
		return 0
	}
	return p.Bands[0].LengthMM
}
