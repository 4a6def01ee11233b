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
	rng    scatter // nil until it first reads
	markMM float64 // of strand fed at which the mark reaches the inlet
	cutMM  float64 // of strand fed at which the end was cut flush
}

// scatter is the same hand all along.
func (h *hand) scatter() scatter {
	if h.rng == nil {
		h.rng = rand.New(rand.NewPCG(h.seed, 0x5ca77e7))
	}
	return h.rng
}

// Mark sets a mark on the filament, exactly so many mm above the inlet.
func (b Bench) Mark(distanceMM float64) {
	b.at(func(f *Firmware) { f.world.hand.markMM = f.world.strand.fedMM + distanceMM })
}

// LeftoverMM is the true distance from the inlet up to the mark; below zero it has gone in.
func (b Bench) LeftoverMM() (mm float64) {
	b.at(func(f *Firmware) { mm = f.world.leftover() })
	return mm
}

func (w *world) leftover() float64 { return w.hand.markMM - w.strand.fedMM }

// Cut cuts the strand flush with the open end of the tube.
func (b Bench) Cut() {
	b.at(func(f *Firmware) { f.world.hand.cutMM = f.world.strand.fedMM })
}

// PieceMM is the true length that has come out since the cut.
func (b Bench) PieceMM() (mm float64) {
	b.at(func(f *Firmware) { mm = f.world.piece() })
	return mm
}

func (w *world) piece() float64 { return w.strand.fedMM - w.hand.cutMM }

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

// BreakHeater cuts the nozzle's heater off, or mends it.
func (b Bench) BreakHeater(broken bool) {
	b.at(func(f *Firmware) { f.world.broken = broken })
}
