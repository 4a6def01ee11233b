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
	riseC    float64   // above ambient, at full power and at rest
	keeps    float64   // part of a difference that a tick leaves
	delay    []float64 // power that is on its way: the dead time, in ticks
	at       int
	onTheWay int // how many of delay are not 0
}

func newPlant(ambientC, riseC float64, tau, dead time.Duration) plant {
	return plant{tempC: ambientC, ambientC: ambientC, riseC: riseC,
		keeps: math.Exp(-float64(tick) / float64(tau)), delay: make([]float64, max(dead/tick, 1))}
}

// pass lets one tick go by with a power of 0 to 1.
func (p *plant) pass(power float64) {
	arriving := p.delay[p.at]
	p.delay[p.at] = power
	if arriving != 0 {
		p.onTheWay--
	}
	if power != 0 {
		p.onTheWay++
	}
	p.at = (p.at + 1) % len(p.delay)
	rest := p.ambientC + p.riseC*arriving
	p.tempC = rest + (p.tempC-rest)*p.keeps
}

// resting tells whether a tick without power would change nothing.
func (p *plant) resting() bool { return p.onTheWay == 0 && p.tempC == p.ambientC }
