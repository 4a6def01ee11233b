package piece

import (
	"math"
	"time"

	"fettle/serialio/gcode"
)

// A pen writes moves as blocks, keeps account of where the head is and of the filament, and says how long each move takes.
// It stops writing when nobody pulls any more.
type pen struct {
	spec   Spec
	yield  func(gcode.Step) bool
	done   bool
	words  [5]gcode.Word // reused: a block is good until the next one is pulled
	x, y   float64
	z      float64
	known  bool    // where the head is: not before the first move
	e      float64 // as the printer counts it
	laidMM float64
	drawn  bool // the filament is drawn back
	path   []point
}

func newPen(s Spec, yield func(gcode.Step) bool) *pen { return &pen{spec: s, yield: yield} }

// say gives out one block.
func (p *pen) say(lasts time.Duration, words ...gcode.Word) {
	if p.done {
		return
	}
	n := copy(p.words[:], words)
	p.done = !p.yield(gcode.Step{Block: gcode.Block{Words: p.words[:n]}, Lasts: lasts})
}

// word is a word with as many decimals as its letter needs.
func word(letter byte, v float64) gcode.Word {
	parts := 1000.0 // of a unit
	switch letter {
	case 'X', 'Y', 'Z':
		parts = 100
	case 'E':
		parts = 10_000
	case 'F':
		parts = 1
	}
	return gcode.Word{Letter: letter, Value: math.Round(v*parts)/parts + 0}
}

// own gives out a line of the printer's own. What it does to the place of the head is not known.
func (p *pen) own(line string) {
	b, err := gcode.Parse(line)
	if err != nil || p.done { // Plan has read it before
		return
	}
	p.known = false
	p.done = !p.yield(gcode.Step{Block: b})
}

// begin counts filament from 0.
func (p *pen) begin() {
	p.e = 0
	p.say(0, word('G', 90))
	p.say(0, word('M', 82))
	p.say(0, word('G', 92), word('E', 0))
}

// raise moves the head to a height.
func (p *pen) raise(z float64) {
	d := math.Abs(z - p.z)
	if !p.known {
		d = 0
	}
	p.z = z
	p.say(p.spec.Machine.lasts([4]float64{2: d}, travelZMMPS, p.spec.Machine.TravelAccelMMPerS2), word('G', 1), word('Z', z), word('F', 60*travelZMMPS))
}

// travel moves over open air.
func (p *pen) travel(to point, mmPerS float64) {
	d := [4]float64{to.x - p.x, to.y - p.y}
	if !p.known {
		d = [4]float64{}
	}
	p.x, p.y, p.known = to.x, to.y, true
	p.say(p.spec.Machine.lasts(d, mmPerS, p.spec.Machine.TravelAccelMMPerS2), word('G', 0), word('X', to.x), word('Y', to.y), word('F', 60*mmPerS))
}

// A bead is how plastic is laid.
type bead struct{ widthMM, highMM, mmPerS float64 }

// lay moves along a path from where the head is, and lays a bead.
func (p *pen) lay(path []point, b bead) {
	for _, to := range path {
		length := math.Hypot(to.x-p.x, to.y-p.y)
		if length < 1e-6 {
			continue
		}
		fed := p.spec.Held.FilamentOf(length, b.widthMM, b.highMM)
		p.e, p.laidMM = p.e+fed, p.laidMM+fed
		d := [4]float64{to.x - p.x, to.y - p.y, 0, fed}
		p.x, p.y = to.x, to.y
		p.say(p.spec.Machine.lasts(d, b.mmPerS, p.spec.Machine.PrintAccelMMPerS2),
			word('G', 1), word('X', to.x), word('Y', to.y), word('E', p.e), word('F', 60*b.mmPerS))
	}
}

// layBack is lay with the path from its end.
func (p *pen) layBack(path []point, b bead) {
	for i, j := 0, len(path)-1; i < j; i, j = i+1, j-1 {
		path[i], path[j] = path[j], path[i]
	}
	p.lay(path, b)
}

// hop crosses open air with the filament drawn back.
func (p *pen) hop(to point, travelMMPerS, retractMM float64) {
	p.draw(retractMM)
	p.travel(to, travelMMPerS)
	p.restore(retractMM)
}

func (p *pen) draw(retractMM float64) { p.stroke(true, retractMM) }

func (p *pen) restore(retractMM float64) { p.stroke(false, retractMM) }

// stroke draws the filament back or gives it back, by a move of its own or by the firmware's word.
func (p *pen) stroke(back bool, retractMM float64) {
	if retractMM == 0 || p.drawn == back {
		return
	}
	p.drawn = back
	h, m := p.spec.Held, p.spec.Machine
	speed, by, firmware := h.RestartMMPerS, retractMM, 11.0
	if back {
		speed, by, firmware = h.RetractMMPerS, -retractMM, 10
	}
	lasts := m.lasts([4]float64{3: by}, speed, m.RetractAccelMMPerS2)
	if h.Firmware {
		p.say(lasts, word('G', firmware))
		return
	}
	p.e += by
	p.say(lasts, word('G', 1), word('E', p.e), word('F', 60*speed))
}
