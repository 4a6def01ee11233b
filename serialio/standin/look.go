package standin

import (
	"math"
	"math/rand/v2"
)

// Gauge is what a person reads a length with: the smallest division of its scale, and the most that the scale is off.
type Gauge struct{ DivisionMM, LimitMM float64 }

// What a hand adds to a reading, as a standard deviation: something of its own, and a part of the division it judges. Invented,
// of the usual size.
const (
	handMM        = 0.02
	acrossMM      = 0.004 // jaws across a filament know their place better
	ofTheDivision = 0.25
)

// What is read, so that each has its own scatter.
const (
	theLeftover = iota
	thePiece
	theNearFlag
	theFlags
	theWidth
)

// read is a true length as a person reads it. The scale is off by the same at every reading; the hand is not, but who reads
// again what has not changed reads the same. when tells one occasion from another.
func (h *hand) read(g Gauge, mm, straysMM float64, what, when uint64) float64 {
	scale := rand.New(rand.NewPCG(h.seed, math.Float64bits(g.DivisionMM)^math.Float64bits(g.LimitMM)))
	hand := rand.New(rand.NewPCG(h.seed^when<<8, h.done<<8|what))
	mm += g.LimitMM * (2*scale.Float64() - 1)
	mm += (straysMM + ofTheDivision*g.DivisionMM) * hand.NormFloat64()
	mm = math.Round(mm/g.DivisionMM) * g.DivisionMM
	return math.Max(0, math.Round(1e6*mm)/1e6) // as it is said: no division leaves a tail of binary digits
}

// Look is what a person sees when looking at the filament. What cannot be read is not there.
type Look struct {
	LeftoverMM float64  // from inlet to mark or far flag, as read; meaningless if it has gone in
	GoneIn     bool     // the mark, or the far flag
	NearMM     *float64 // from inlet to near flag, as read, while it is outside
	FlagsMM    *float64 // from flag to flag
	PieceMM    *float64 // since the cut, as read
	Popping    bool
}

// Look reads the filament. It is the demo's own answer to the question a person is asked, and never part of what the printer
// says.
func (b Bench) Look(with Gauge) (l Look) {
	b.at(func(f *Firmware) {
		w, h := &f.world, &f.world.hand
		read := func(mm float64, what uint64) *float64 {
			is := h.read(with, mm, handMM, what, uint64(f.diary.moves))
			return &is
		}
		l = Look{LeftoverMM: *read(w.leftover(), theLeftover), GoneIn: w.leftover() < 0, Popping: w.damp}
		if near := h.nearMM - w.strand.fedMM; h.flags && near >= 0 {
			l.NearMM = read(near, theNearFlag)
		}
		if h.flags {
			l.FlagsMM = read(h.markMM-h.nearMM, theFlags)
		}
		if h.cut {
			l.PieceMM = read(w.piece(), thePiece)
		}
	})
	return l
}
