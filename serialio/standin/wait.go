package standin

import "time"

// wait is what keeps a line in hand: until it is over, no ok is given and no further line is taken.
type wait struct {
	over  func(*Firmware) bool
	then  deed // done with block when it is over; may begin another wait. nil: nothing
	block block
	until time.Duration // a time at which to look; idle: none
	heats bool          // for a heater: look at every tick, and M108 ends it
}

// await begins a wait.
func (f *Firmware) await(w wait) {
	f.inHand = w
	f.wait = &f.inHand
}

// finish looks whether the line in hand is done, and answers it. It returns whether no line is in hand.
func (f *Firmware) finish() bool {
	for f.wait != nil {
		if !f.wait.over(f) {
			return false
		}
		w := f.inHand
		f.wait = nil
		if w.then != nil {
			w.then(f, w.block)
		}
		f.answer()
	}
	return true
}

// whenStill does a word once all moves have ended; nil only waits for it.
func (f *Firmware) whenStill(then deed, b block) {
	f.await(wait{over: (*Firmware).still, then: then, block: b, until: idle})
}

func (f *Firmware) still() bool { return f.planner.still() }

// whenRoom does a word once the planner has room.
func (f *Firmware) whenRoom(do deed, b block) {
	if f.hasRoom() {
		do(f, b)
		return
	}
	f.await(wait{over: (*Firmware).hasRoom, then: do, block: b, until: idle})
}

func (f *Firmware) hasRoom() bool { return !f.planner.full(f.profile.PlannerMoves) }

// whenPast does something after a time.
func (f *Firmware) whenPast(d time.Duration, then deed) {
	until := f.now + d
	f.await(wait{over: func(f *Firmware) bool { return f.now >= until }, then: then, until: until})
}

// pause waits for a time, after all moves have ended.
func (f *Firmware) pause(d time.Duration) {
	f.whenStill(func(f *Firmware, _ block) { f.whenPast(d, nil) }, block{})
}
