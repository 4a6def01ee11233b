package standin

import "time"

// world is what exists whether or not the board is awake.
type world struct {
	heat       [2]plant
	power      [2]float64 // 0 to 1, as the board switches it
	broken     bool       // the nozzle's heater gives no heat
	headMM     [3]float64 // from home
	strand     filament
	flowLimit  float64 // mm3/s
	filamentMM float64
	pathOpen   bool
	damp       bool
	hand       hand
	plate      plate
}

func newWorld(p Profile) world {
	return world{
		heat: [2]plant{
			nozzle: newPlant(p.AmbientC, 380, 127*time.Second, 2500*time.Millisecond), // 3 C/s at first
			bed:    newPlant(p.AmbientC, 130, 200*time.Second, 5*time.Second),
		},
		broken:     p.HeaterBroken,
		headMM:     p.HeadMM,
		strand:     filament{trueSteps: p.TrueStepsPerMM, playMM: p.PlayMM, openMM: p.PlayMM, reversed: p.Reversed},
		flowLimit:  p.FlowLimit,
		filamentMM: p.FilamentMM,
		pathOpen:   p.PathOpen,
		damp:       p.Damp,
		hand:       hand{seed: p.Seed},
		plate:      plate{nature: natureOf(&p)},
	}
}

func (w *world) cold() bool {
	return w.power == [2]float64{} && w.heat[nozzle].resting() && w.heat[bed].resting()
}

func (w *world) warm() {
	for i := range w.heat {
		power := w.power[i]
		if i == nozzle && w.broken {
			power = 0
		}
		w.heat[i].pass(power)
	}
}

// move carries out a part of a queued move.
func (w *world) move(s *step, part float64) {
	for i := range w.headMM {
		w.headMM[i] += s.delta[i] * part
	}
	w.strand.turn(s.eSteps*part, s.loss)
}

// leave lets melt and bed have their part of a move that has ended, or was broken off where it is.
func (w *world) leave(s *step, began, now time.Duration, fan float64) {
	m := moved{to: w.headMM, fedMM: w.strand.fedMM - w.plate.fedMM, beganS: began.Seconds(), endS: now.Seconds(),
		nozzleC: w.heat[nozzle].tempC, fan: fan}
	for i := range m.from {
		m.from[i] = m.to[i] - s.delta[i]*s.done
	}
	w.plate.fedMM = w.strand.fedMM
	w.plate.pathOpen = w.pathOpen
	w.plate.carryOut(&m)
}
