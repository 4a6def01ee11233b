package standin

import "math"

// plate is the bed with what lies on it, and the melt above it: what moves leave behind. It is told of each move when that
// has ended, so that it is the same however time is cut into pieces.
type plate struct {
	nature   nature
	melt     melt
	trip     trip
	heights  heights
	crossed  []crossed // oldest first
	before   int       // how many were there when the trip began
	air      air
	beadMM2  float64 // cross-section of the bead laid last
	laidZMM  float64 // where that was laid
	layerMM  float64 // from the layer before to it
	fedMM    float64 // filament at the end of the last move
	endedS   float64 // when that was
	crashed  bool
	pathOpen bool
}

// crossedMost bounds what is remembered: a piece has some 600.
const crossedMost = 4096

// moved is one move, or the part of it that was carried out.
type moved struct {
	from, to     [3]float64
	fedMM        float64 // filament that truly went forward
	beganS, endS float64
	nozzleC      float64
	fan          float64 // 0 to 255
}

// carryOut lets a move do to melt and bed what it does.
func (p *plate) carryOut(m *moved) {
	molten := m.nozzleC >= meltsC && !p.pathOpen
	flat := m.from[0] == m.to[0] && m.from[1] == m.to[1]
	if molten {
		p.melt.springMM = p.nature.at(m.nozzleC)
		if idle := m.beganS - p.endedS; idle > 0 {
			p.melt.hang(&p.nature, idle)
		}
	}
	p.endedS = m.endS
	switch {
	case m.fedMM > 0 && !flat && molten:
		p.layBead(m)
	case molten:
		p.cross(m)
	}
	if !p.heights.empty() {
		p.strike(m)
	}
}

// layBead lays a strand.
func (p *plate) layBead(m *moved) {
	seconds := m.endS - m.beganS
	length := math.Hypot(m.to[0]-m.from[0], m.to[1]-m.from[1])
	if p.trip.away {
		p.arrive(m)
	}
	p.melt.lay(&p.nature, m.fedMM, seconds)
	p.beadMM2 = m.fedMM * p.nature.areaMM2 / length
	z := m.to[2]
	if rise := z - p.laidZMM; rise > cent {
		p.layerMM = rise
	}
	p.laidZMM = z
	steps := stepsAlong(length, 1)
	for i := range steps + 1 {
		part := float64(i) / float64(steps)
		below := p.heights.raise(m.from[0]+(m.to[0]-m.from[0])*part, m.from[1]+(m.to[1]-m.from[1])*part, z)
		p.crashed = p.crashed || below > z+strikesMM
	}
}

// arrive ends a trip; what is missing counts for the gap that was crossed last.
func (p *plate) arrive(m *moved) {
	void := p.trip.arrive(&p.melt, &p.nature)
	if n := len(p.crossed); n > p.before {
		p.crossed[n-1].voidMM3 = float32(void)
	}
	p.before = len(p.crossed)
	p.air = air{}
}

// cross is any move that lays nothing: along, up, or of the filament alone.
func (p *plate) cross(m *moved) {
	seconds := m.endS - m.beganS
	p.trip.leave(&p.melt)
	var out float64
	switch {
	case m.fedMM < 0:
		out = p.melt.draw(&p.nature, -m.fedMM, seconds)
	case m.fedMM > 0:
		out = p.melt.restore(&p.nature, m.fedMM, seconds)
	default:
		out = p.melt.hang(&p.nature, seconds)
	}
	if m.from[0] == m.to[0] && m.from[1] == m.to[1] || p.heights.empty() {
		p.trip.landedMM += out
		return
	}
	p.trip.landedMM += p.fly(m, out, seconds)
}

// stepsAlong is in how many steps a way is gone; no longer way takes more than the longest bed does.
func stepsAlong(mm, stepMM float64) int { return int(min(mm/stepMM, 4000)) + 1 }

// strikesMM is how far plastic must stand above the nozzle's tip to be struck rather than smeared.
const strikesMM = 0.6

// strike notices a nozzle that runs into what stands on the bed.
func (p *plate) strike(m *moved) {
	if p.crashed || m.fedMM > 0 && m.from != m.to || min(m.from[2], m.to[2])+strikesMM >= p.heights.topMM {
		return
	}
	steps := stepsAlong(math.Hypot(m.to[0]-m.from[0], m.to[1]-m.from[1]), 1)
	for i := range steps + 1 {
		part := float64(i) / float64(steps)
		at := func(axis int) float64 { return m.from[axis] + (m.to[axis]-m.from[axis])*part }
		if p.heights.at(at(0), at(1)) > at(2)+strikesMM {
			p.crashed = true
			return
		}
	}
}
