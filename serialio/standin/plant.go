package standin

import (
	"math"
	"time"
)

// tick is how often heat is computed and controlled.
const tick = 100 * time.Millisecond

// plant is a heated mass: first order with a dead time. At a steady power it comes to rest at a temperature
// proportional to that power; on the way there the difference shrinks by 1/e in each tau.
type plant struct {
	tempC    float64
	ambientC float64
	riseC    float64 // above ambient, at full power and at rest
	tau      time.Duration
	delay    []float64 // power that is on its way: the dead time, in ticks
	at       int
}

func newPlant(ambientC, riseC float64, tau, dead time.Duration) plant {
	return plant{tempC: ambientC, ambientC: ambientC, riseC: riseC, tau: tau, delay: make([]float64, max(dead/tick, 1))}
}

// pass lets one tick go by with a power of 0 to 1.
func (p *plant) pass(power float64) {
	arriving := p.delay[p.at]
	p.delay[p.at] = power
	p.at = (p.at + 1) % len(p.delay)
	rest := p.ambientC + p.riseC*arriving
	p.tempC = rest + (p.tempC-rest)*math.Exp(-float64(tick)/float64(p.tau))
}
