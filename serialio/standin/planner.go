package standin

import "time"

// axis numbers; E is the filament.
const (
	axisX = iota
	axisY
	axisZ
	axisE
)

// step is one queued move.
type step struct {
	from   [4]float64 // in the coordinates of G92
	delta  [4]float64
	eSteps float64 // motor steps of the extruder
	eMM    float64 // filament the firmware believes it moves
	way    trapezoid
	done   float64 // part that lies behind
	loss   float64 // part of the filament that slips, fixed when the move begins
}

// planner is the queue of moves; the first is under way.
type planner struct {
	queue []step
	begun time.Duration // of the first
}

func (p *planner) still() bool { return len(p.queue) == 0 }

func (p *planner) full(room int) bool { return len(p.queue) >= room }

// stop empties the queue and tells where that leaves the head; at is where it stands if nothing moves.
func (p *planner) stop(at [4]float64) [4]float64 {
	if len(p.queue) > 0 {
		s := p.queue[0]
		for i := range at {
			at[i] = s.from[i] + s.delta[i]*s.done
		}
	}
	p.queue = nil
	return at
}

// enqueue adds a move; if none is under way it begins at once.
func (f *Firmware) enqueue(s step) {
	f.planner.queue = append(f.planner.queue, s)
	if len(f.planner.queue) == 1 {
		f.begin()
	}
}

func (f *Firmware) begin() {
	s := &f.planner.queue[0]
	f.planner.begun = f.now
	f.diary.moves++
	speed := s.way.peak * s.eMM / s.way.distMM
	s.loss = f.world.loss(speed)
}

func (f *Firmware) moveEnds() time.Duration {
	if f.planner.still() {
		return idle
	}
	return f.planner.begun + f.planner.queue[0].way.duration()
}

// travel moves the axes to where they are now, and begins the next move when one has ended.
func (f *Firmware) travel() {
	if f.planner.still() {
		return
	}
	s := &f.planner.queue[0]
	part := s.way.part((f.now - f.planner.begun).Seconds())
	ended := f.now >= f.moveEnds()
	if ended {
		part = 1
	}
	f.world.move(s, part-s.done)
	s.done = part
	if !ended {
		return
	}
	f.planner.queue = f.planner.queue[1:]
	if !f.planner.still() {
		f.begin()
	}
}
