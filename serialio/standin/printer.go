package standin

import (
	"math"
	"sync"
	"time"
)

// Printer is a Firmware with a clock. It is safe for use by several goroutines, and it lives on between two Serves: an
// unplugged printer stays hot.
type Printer struct {
	speedup float64
	nudge   chan struct{} // something was done to it beside the line

	mu       sync.Mutex
	firmware *Firmware
	at       time.Time // up to which the firmware has been told
}

// NewPrinter switches a printer on. Its time runs speedup times as fast as the clock; 0 is real time.
func NewPrinter(p Profile, speedup float64) *Printer {
	if speedup <= 0 {
		speedup = 1
	}
	return &Printer{speedup: speedup, nudge: make(chan struct{}, 1), firmware: New(p), at: time.Now()}
}

// Snapshot is the truth about it, now.
func (p *Printer) Snapshot() (s Snapshot) {
	p.do(func(f *Firmware) { s = f.Snapshot() })
	return s
}

// Reset presses its button.
func (p *Printer) Reset() { p.do((*Firmware).Reset) }

// Bench is the person's side of it.
func (p *Printer) Bench() Bench { return Bench{p.do} }

// do brings the firmware up to now and does something to it.
func (p *Printer) do(something func(*Firmware)) {
	p.mu.Lock()
	p.catchUp()
	something(p.firmware)
	p.mu.Unlock()
	select {
	case p.nudge <- struct{}{}:
	default: // it will look anyway
	}
}

func (p *Printer) catchUp() {
	now := time.Now()
	p.firmware.Advance(time.Duration(float64(now.Sub(p.at)) * p.speedup))
	p.at = now
}

// turn brings the firmware up to now, lets it have an event, and takes what it says if it may speak. It returns the
// time until it must be looked at again.
func (p *Printer) turn(event func(*Firmware), maySpeak bool) (said []byte, again time.Duration) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.catchUp()
	event(p.firmware)
	if maySpeak {
		said = p.firmware.Say()
	}
	return said, p.untilDue()
}

// untilDue is in the clock's time, and never so short that nothing would have happened. It is below 0 if nothing will
// happen by itself.
func (p *Printer) untilDue() time.Duration {
	due, any := p.firmware.Due()
	if !any {
		return -1
	}
	return time.Duration(math.Ceil(float64(due) / p.speedup))
}
