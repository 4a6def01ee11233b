package standin

import "time"

// wait is what keeps a line in hand: until it is over, no ok is given and no further line is taken.
type wait struct {
	over  func() bool
	then  func()        // done when it is over; may begin another wait. nil: nothing
	until time.Duration // a time at which to look; idle: none
	heats bool          // for a heater: look at every tick, and M108 ends it
}

// finish looks whether the line in hand is done, and answers it. It returns whether no line is in hand.
func (f *Firmware) finish() bool {
	for f.wait != nil {
		if !f.wait.over() {
			return false
		}
		then := f.wait.then
		f.wait = nil
		if then != nil {
			then()
		}
		f.answer()
	}
	return true
}

// whenStill does something once all moves have ended; nil only waits for it.
func (f *Firmware) whenStill(then func()) {
	f.wait = &wait{over: f.planner.still, then: then, until: idle}
}

// whenRoom does a word once the planner has room.
func (f *Firmware) whenRoom(do deed, b block) {
	if f.planner.full(f.profile.PlannerMoves) {
		over := func() bool { return !f.planner.full(f.profile.PlannerMoves) }
		f.wait = &wait{over: over, then: func() { do(f, b) }, until: idle}
		return
	}
	do(f, b)
}

// whenPast does something after a time.
func (f *Firmware) whenPast(d time.Duration, then func()) {
	until := f.now + d
	f.wait = &wait{over: func() bool { return f.now >= until }, then: then, until: until}
}

// pause waits for a time, after all moves have ended.
func (f *Firmware) pause(d time.Duration) {
	f.whenStill(func() { f.whenPast(d, nil) })
}
