package standin

import "math"

// crossed is one gap between strands that a travel crossed in open air.
type crossed struct {
	zMM, fromMM, toMM float32 // along X, from left to right, between the faces of what stands there
	floorMM           float32 // how high plastic stands below
	threadUM          float32
	voidMM3           float32 // missing where the next bead began
	fan               float32 // percent
	flow              float32 // mm3/s that would keep the melt as it was when the bead before was left
}

// air is a way through open air that has begun where a strand stands, and has not yet ended.
type air struct {
	begun bool    // the last place stood
	open  bool    // and behind it is air
	from  spot    // where it stood last
	floor float64 // the highest plastic below
	hangs float64 // mm3 of the thread
}

type spot struct{ x, y float64 }

const (
	standsMM = 1.0  // plastic that ends so far below the nozzle still stands beside it: a layer may not be laid yet
	leastMM  = 3.0  // narrower gaps are none
	cornerMM = 1.25 // the end of a strand is known no better than its cell: near the end of a travel it is taken for that
	flyStep  = 0.25
)

// fly goes along a travel on which filament came out, and parts it into threads and what lands, mm of filament.
func (p *plate) fly(m *moved, out, seconds float64) (landedMM float64) {
	dx, dy := m.to[0]-m.from[0], m.to[1]-m.from[1]
	length := math.Hypot(dx, dy)
	steps := stepsAlong(length, flyStep)
	each := out / float64(steps)
	hangs, lands := p.nature.ooze(each, seconds/float64(steps))
	p.passed(spot{m.from[0], m.from[1]}, m, 0)
	for i := 1; i <= steps; i++ {
		part := float64(i) / float64(steps)
		p.passed(spot{m.from[0] + dx*part, m.from[1] + dy*part}, m, hangs)
		if p.air.open {
			landedMM += lands
		} else {
			landedMM += each
		}
	}
	return landedMM
}

// passed is the head at one place of a travel.
func (p *plate) passed(at spot, m *moved, hangsMM3 float64) {
	a, z := &p.air, m.to[2]
	under := p.heights.at(at.x, at.y)
	stands := under >= z-standsMM
	switch {
	case stands && a.open:
		p.landed(at, m)
		*a = air{begun: true, from: at}
	case stands:
		*a = air{begun: true, from: at}
	case a.begun && !a.open && near(a.from, m.from):
		a.from = spot{m.from[0], m.from[1]}
		fallthrough
	case a.begun:
		a.open = true
		a.hangs += hangsMM3
		a.floor = math.Max(a.floor, math.Max(under, math.Max(p.heights.at(at.x, at.y+1), p.heights.at(at.x, at.y-1))))
	}
}

func near(a spot, b [3]float64) bool { return math.Hypot(a.x-b[0], a.y-b[1]) < cornerMM }

// landed ends a way through air. The faces lie half a bead before and behind where the strands' middles are.
func (p *plate) landed(at spot, m *moved) {
	if near(at, m.to) {
		at = spot{m.to[0], m.to[1]}
	}
	a := &p.air
	half := 0.0
	if p.layerMM > 0 {
		half = p.beadMM2 / p.layerMM / 2
	}
	left, right := math.Min(a.from.x, at.x)+half, math.Max(a.from.x, at.x)-half
	if right-left < leastMM || len(p.crossed) >= crossedMost || math.Abs(at.y-a.from.y) > right-left {
		return
	}
	p.crossed = append(p.crossed, crossed{zMM: float32(m.to[2]), fromMM: float32(left), toMM: float32(right),
		floorMM: float32(a.floor), threadUM: float32(threadUM(a.hangs, right-left)), fan: float32(m.fan / 2.55),
		flow: float32(p.nature.keeping(p.trip.leftMM, p.melt.springMM))})
}
