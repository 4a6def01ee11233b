package standin

import "math"

const axes = "XYZE"

// move is G0 and G1.
func move(f *Firmware, b block) {
	if v, ok := b.value('F'); ok && v > 0 {
		f.modes.feedMMPerS = v / 60
	}
	f.goTo(f.modes.target(b), f.modes.feedMMPerS*f.modes.feedPercent/100)
}

// target is where a block wants to go.
func (m modes) target(b block) [4]float64 {
	to := m.at
	for i := range to {
		v, ok := b.value(axes[i])
		switch {
		case !ok:
		case m.relative || i == axisE && m.relativeE:
			to[i] += v
		default:
			to[i] = v
		}
	}
	return to
}

// goTo queues a move at a speed in mm/s, held to the limits of the settings. The caller has looked for room.
func (f *Firmware) goTo(to [4]float64, speed float64) {
	s := step{from: f.modes.at}
	for i := range to {
		s.delta[i] = to[i] - f.modes.at[i]
	}
	if s.delta[axisE] != 0 && f.tooCold() {
		f.say("echo: cold extrusion prevented")
		s.delta[axisE] = 0
	}
	s.eMM = f.filamentOf(s.delta[axisE])
	s.eSteps = s.eMM * f.tuning.stepsPerMM[axisE]
	f.modes.at = to
	f.queueStep(s, speed)
}

// filamentOf turns commanded E into millimetres of filament: flow multiplier, and cubic millimetres where M200 says so.
func (f *Firmware) filamentOf(e float64) float64 {
	e *= f.modes.flowPercent / 100
	if f.tuning.areaMM2 > 0 {
		e /= f.tuning.areaMM2
	}
	return e
}

func (f *Firmware) queueStep(s step, speed float64) {
	mm := [4]float64{s.delta[0], s.delta[1], s.delta[2], s.eMM}
	dist, accel := math.Sqrt(mm[0]*mm[0]+mm[1]*mm[1]+mm[2]*mm[2]), f.tuning.travelMMPerS2
	switch {
	case dist == 0:
		dist, accel = math.Abs(s.eMM), f.tuning.retractMMPerS2
	case s.eMM != 0:
		accel = f.tuning.printMMPerS2
	}
	if dist == 0 {
		return
	}
	for i, d := range mm {
		if share := math.Abs(d) / dist; share > 0 {
			speed = math.Min(speed, f.tuning.maxFeedMMPerS[i]/share)
			accel = math.Min(accel, f.tuning.maxAccelMMPerS2[i]/share)
		}
	}
	const slowest = 1e-3
	s.way = newTrapezoid(dist, math.Max(speed, slowest), math.Max(accel, slowest))
	f.enqueue(s)
}
