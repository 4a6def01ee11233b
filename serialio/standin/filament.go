package standin

import "math"

// filament is the gear and the strand it pushes. What the firmware calls a millimetre is steps; what a millimetre is,
// the gear decides.
type filament struct {
	trueSteps float64 // per mm
	playMM    float64
	openMM    float64 // play still to be taken up before the strand goes forward
	reversed  bool
	fedMM     float64 // that has really gone in, since the power came on
	farMM     float64 // the most that fedMM has ever been
}

// turn moves the gear by motor steps. A part of what would go forward slips; nothing slips on the way back, nor on the
// way home of what was pulled back, which meets no melt.
func (s *filament) turn(steps, loss float64) {
	gear := steps / s.trueSteps
	if s.reversed {
		gear = -gear
	}
	gear -= s.takeUp(gear)
	home := s.farMM - s.fedMM
	if gear > home {
		gear = home + (gear-home)*(1-loss)
	}
	s.fedMM += gear
	s.farMM = math.Max(s.farMM, s.fedMM)
}

// takeUp is the part of the gear's way that only crosses the play.
func (s *filament) takeUp(gear float64) float64 {
	lost := math.Min(gear, s.openMM)
	if gear < 0 {
		lost = math.Max(gear, s.openMM-s.playMM)
	}
	s.openMM -= lost
	return lost
}

// loss is the part that slips at a filament speed in mm/s. It grows with the fourth power of the flow, and is 2 % at
// the flow limit, which is given for 210 C and shrinks to nothing at 150 C. Both laws are invented. Without a path
// below the gear nothing pushes back; against a cold nozzle the gear only grinds.
func (w *world) loss(speedMMPerS float64) float64 {
	if w.pathOpen {
		return 0
	}
	limit := w.flowLimit * (w.heat[nozzle].tempC - 150) / 60
	if limit <= 0 {
		return 1
	}
	flow := speedMMPerS * math.Pi * w.filamentMM * w.filamentMM / 4
	return math.Min(1, 0.02*math.Pow(math.Max(flow, 0)/limit, 4))
}
