package standin

import "time"

// idle is longer than anything here lasts: "nothing will happen by itself".
const idle = time.Duration(1<<63 - 1)

// watching is how often a printer with a heater on wants to be looked at, so that a fault of it is told in time.
const watching = time.Second

// Due tells after how long something can happen by itself that a host would notice, and false if nothing can.
func (f *Firmware) Due() (time.Duration, bool) {
	at := min(f.bootEnds, f.moveEnds(), f.unaskedDue(), f.heatDue(), f.mouth.due(f.now))
	if f.wait != nil {
		at = min(at, f.wait.until)
	}
	if at == idle {
		return 0, false
	}
	return max(at-f.now, 0), true
}

// next is the time of the next event of any kind, noticed or not; always later than now.
func (f *Firmware) next() time.Duration {
	at := min(f.bootEnds, f.moveEnds(), f.unaskedDue())
	if !f.allCold() {
		at = min(at, f.nextTick())
	}
	if f.wait != nil {
		at = min(at, f.wait.until)
	}
	return max(at, f.now+1)
}

// allCold tells whether heat stands still: nothing is on, and all is as warm as the room.
func (f *Firmware) allCold() bool {
	return f.heaters[nozzle].targetC <= 0 && f.heaters[bed].targetC <= 0 && f.world.cold()
}

func (f *Firmware) nextTick() time.Duration { return f.now - f.now%tick + tick }

func (f *Firmware) heatDue() time.Duration {
	switch {
	case f.wait != nil && f.wait.heats:
		return f.nextTick()
	case f.heaters[nozzle].targetC > 0 || f.heaters[bed].targetC > 0:
		return f.now - f.now%watching + watching
	}
	return idle
}
