package machine

import (
	"math"
	"sync/atomic"
)

// An aim is the target of a heater that we have set and nobody has overruled, °C. It is without a lock, because a stop
// overrules it and waits for nothing.
type aim struct{ p atomic.Pointer[float64] }

// unsure says that a target is on its way, and that until the printer has said ok nothing is known.
func (a *aim) unsure() *float64 {
	pending := new(float64)
	*pending = math.NaN()
	a.p.Store(pending)
	return pending
}

// sure says that the printer has accepted it. Where it was overruled meanwhile, it stays so.
func (a *aim) sure(pending *float64, celsius float64) { a.p.CompareAndSwap(pending, &celsius) }

// off says that the heater is off, or is being switched off.
func (a *aim) off() { a.p.Store(new(float64)) }

// celsius is the target, if it is known.
func (a *aim) celsius() (float64, bool) {
	p := a.p.Load()
	if p == nil || math.IsNaN(*p) {
		return 0, false
	}
	return *p, true
}

// Aim is the nozzle target that is in force by our own word, °C; false where none of ours is.
func (m *Machine) Aim() (celsius float64, known bool) { return m.aim.celsius() }
