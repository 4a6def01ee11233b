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
	first int           // in queue; those before it are over
	begun time.Duration // of the first
	ends  time.Duration
}

func (p *planner) queued() int { return len(p.queue) - p.first }

func (p *planner) still() bool { return p.queued() == 0 }

func (p *planner) full(room int) bool { return p.queued() >= room }

// current is the move under way.
func (p *planner) current() *step { return &p.queue[p.first] }

// add puts a move at the end, in the memory of those that are over rather than in more.
func (p *planner) add(s step) {
	if len(p.queue) == cap(p.queue) && p.first > len(p.queue)/2 {
		p.queue = append(p.queue[:0], p.queue[p.first:]...)
		p.first = 0
	}
	p.queue = append(p.queue, s)
}

// stop empties the queue and tells where that leaves the head; at is where it stands if nothing moves.
func (p *planner) stop(at [4]float64) [4]float64 {
	if !p.still() {
		s := p.current()
		for i := range at {
			at[i] = s.from[i] + s.delta[i]*s.done
		}
	}
	p.queue, p.first = p.queue[:0], 0
	return at
}

// enqueue adds a move; if none is under way it begins at once.
func (f *Firmware) enqueue(s step) {
	f.planner.add(s)
	if f.planner.queued() == 1 {
		f.begin()
	}
}

func (f *Firmware) begin() {
	s := f.planner.current()
	f.planner.begun, f.planner.ends = f.now, f.now+s.way.duration()
	f.diary.moves++
	speed := s.way.peak * s.eMM / s.way.distMM
	s.loss = f.world.loss(speed)
}

func (f *Firmware) moveEnds() time.Duration {
	if f.planner.still() {
		return idle
	}
	return f.planner.ends
}

// travel moves the axes to where they are now, and begins the next move when one has ended.
func (f *Firmware) travel() {
	if f.planner.still() {
		return
	}
	s := f.planner.current()
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
	f.leave()
	if f.planner.first++; f.planner.still() {
		f.planner.queue, f.planner.first = f.planner.queue[:0], 0
		return
	}
	f.begin()
}

// leave tells the world that the move under way is over, or goes no further.
func (f *Firmware) leave() { f.world.leave(f.planner.current(), f.planner.begun, f.now, f.fan) }
