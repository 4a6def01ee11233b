package serialio

import "time"

const (
	// settle is how long the printer must be quiet before a stray ok can no longer come. A firmware prints a refusal and
	// its ok in one go; this is a hundred times the time they take on the wire. It belongs to the wire and is not scaled.
	settle = 100 * time.Millisecond
	// settleMost ends a wait for quiet with a printer that never is.
	settleMost = time.Second
	// shortest is the least any alarm may be.
	shortest = time.Second
	// firstBackoff and mostBackoff bound the wait between two tries to open the port.
	firstBackoff = 100 * time.Millisecond
	mostBackoff  = time.Second
	// restAfter is how long the second half of a burst waits for a reply to the first.
	restAfter = 50 * time.Millisecond
	// burstEvery and coolFor say how often, and how long at most, heaters are told to go off.
	burstEvery = time.Second
	coolFor    = 60 * time.Second
)

// pace is the engine's waits, scaled for a demo.
type pace struct {
	speedup float64
	silence Mono
}

func newPace(silence Mono, speedup float64) pace {
	if silence <= 0 {
		silence = 5 * time.Second
	}
	if !(speedup > 1) {
		speedup = 1
	}
	return pace{speedup: speedup, silence: silence}
}

// wait scales a wait that nobody is alarmed by.
func (p pace) wait(d Mono) Mono { return Mono(float64(d) / p.speedup) }

// alarm scales an alarm, which is never below 1 s unless it was set so.
func (p pace) alarm(d Mono) Mono { return max(p.wait(d), min(d, shortest)) }

// silenceOf is how long a printer may say nothing at all while it obeys a block. Firmware that reports "busy" renews
// it; this is for firmware that does not.
func (p pace) silenceOf(block []byte) Mono {
	d := p.silence
	switch command(block) {
	case "G28", "G29": // homing and probing: a minute and more
		d *= 24
	case "G0", "G1", "G2", "G3", "G4", "M400", "M500", "M501", "M502": // a full planner, or storage
		d *= 2
	}
	return p.alarm(d)
}

// command is the first word of a printed block.
func command(block []byte) string {
	for i, c := range block {
		if c == ' ' {
			block = block[:i]
			break
		}
	}
	return string(block)
}
