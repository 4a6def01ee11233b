package standin

import "math/rand/v2"

// Bench is the person beside the printer: a pen, a rule, a pair of eyes. Nothing of it reaches the line.
type Bench struct {
	at func(func(*Firmware)) // does something to the printer while nobody else does
}

// Bench gives the person's side of a Firmware that one goroutine owns.
func (f *Firmware) Bench() Bench {
	return Bench{func(do func(*Firmware)) { do(f) }}
}

// hand is what the person has done to the strand.
type hand struct {
	seed   uint64
	rng    *rand.Rand // of what it grades; nil until it first does
	done   uint64     // how often it did something
	markMM float64    // of strand fed at which the mark, or the far one of two flags, reaches the inlet
	nearMM float64    // the same of the near flag
	flags  bool       // there are two flags, and no mark
	cutMM  float64    // of strand fed at which the end was cut flush
	cut    bool       // it was cut once
}

// scatter is the same hand all along.
func (h *hand) scatter() *rand.Rand {
	if h.rng == nil {
		h.rng = rand.New(rand.NewPCG(h.seed, 0x5ca77e7))
	}
	return h.rng
}

// Mark sets a mark on the filament, exactly so many mm above the inlet.
func (b Bench) Mark(distanceMM float64) {
	b.at(func(f *Firmware) {
		h := &f.world.hand
		h.done, h.flags = h.done+1, false
		h.markMM = f.world.strand.fedMM + distanceMM
	})
}

// Flags sets two flags instead of a mark: the near one exactly so many mm above the inlet, the far one so far beyond it. Until
// something else is set, the far one is what LeftoverMM tells.
func (b Bench) Flags(nearMM, apartMM float64) {
	b.at(func(f *Firmware) {
		h := &f.world.hand
		h.done, h.flags = h.done+1, true
		h.nearMM = f.world.strand.fedMM + nearMM
		h.markMM = h.nearMM + apartMM
	})
}

// LeftoverMM is the true distance from the inlet up to the mark; below zero it has gone in.
func (b Bench) LeftoverMM() (mm float64) {
	b.at(func(f *Firmware) { mm = f.world.leftover() })
	return mm
}

func (w *world) leftover() float64 { return w.hand.markMM - w.strand.fedMM }

// Cut cuts the strand flush with the open end of the tube.
func (b Bench) Cut() {
	b.at(func(f *Firmware) {
		h := &f.world.hand
		h.done, h.cut, h.cutMM = h.done+1, true, f.world.strand.fedMM
	})
}

// PieceMM is the true length that has come out since the cut.
func (b Bench) PieceMM() (mm float64) {
	b.at(func(f *Firmware) { mm = f.world.piece() })
	return mm
}

func (w *world) piece() float64 { return w.strand.fedMM - w.hand.cutMM }

// PullBack pulls the strand back by hand, the lever at the gear open: past the gear, and so free of its play.
func (b Bench) PullBack(mm float64) {
	b.at(func(f *Firmware) {
		f.world.strand.fedMM -= mm
		f.world.plate.fedMM -= mm // nothing of it was a move
	})
}

// FedMM is the filament that has truly gone in since the power came on.
func (b Bench) FedMM() (mm float64) {
	b.at(func(f *Firmware) { mm = f.world.strand.fedMM })
	return mm
}

// Popping tells whether the strand pops and bubbles: the filament is damp.
func (b Bench) Popping() (damp bool) {
	b.at(func(f *Firmware) { damp = f.world.damp })
	return damp
}

// OpenPath opens or closes the way below the gear. Through a closed one a cold strand does not go at all.
func (b Bench) OpenPath(open bool) {
	b.at(func(f *Firmware) { f.world.pathOpen = open })
}

// PathOpen tells whether it is.
func (b Bench) PathOpen() (open bool) {
	b.at(func(f *Firmware) { open = f.world.pathOpen })
	return open
}

// BreakHeater cuts the nozzle's heater off, or mends it.
func (b Bench) BreakHeater(broken bool) {
	b.at(func(f *Firmware) { f.world.broken = broken })
}
