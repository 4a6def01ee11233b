package serialio

import (
	"strconv"

	"fettle/serialio/gcode"
)

// burstLines is how many lines a burst has behind its M110.
const burstLines = 3

// cooling is the heaters being told to go off, by a person's Stop or Halt, or by the line itself after a fault.
type cooling struct {
	on      bool
	until   Mono // when it is given up
	at      Mono // when the last burst began
	base    int64
	rest    bool  // the burst's second half is still to be written
	n       int   // bursts so far
	turn    int64 // the line that the printer wants, where it refused a burst's M110; 0: it did not
	refused bool  // it did so at any time
	reports int   // while halted: how often every target was said to be 0
	heated  bool  // a heater was switched on over this line
	gaveUp  bool  // a minute of bursts has gone by, and the printer has not been in step since
}

// note remembers that a heater is switched on.
func (c *cooling) note(block []byte) {
	switch command(block) {
	case "M104", "M140", "M109", "M190":
		for i := range len(block) - 1 {
			if block[i] == 'S' && block[i+1] != '0' {
				c.heated = true
			}
		}
	}
}

// owed reports whether a printer that falls silent must be cooled.
func (c *cooling) owed() bool { return c.heated && !c.on && !c.gaveUp }

// stop is a person's Stop: every job ends, and heaters go off without waiting for anything. Twice is harmless.
func (e *Engine) stop() {
	e.broken()
	e.endAll(Stopped, "")
	e.status.Asked, e.status.Confirmed = true, false
	e.status.Version++
	if e.status.State == Listening || e.status.State == OutOfStep {
		e.setState(OutOfStep, "Stop was asked; the heaters are not known to be off")
	}
	e.cool()
}

// halt is a person's Halt: the dialect's word that is obeyed out of band, then heaters off. The empty line before it
// ends whatever was half written.
func (e *Engine) halt() {
	e.broken()
	e.endAll(WasHalted, "Halt was asked")
	if e.status.State == Unplugged {
		return
	}
	e.write([]byte("\nM112\n"))
	e.setState(Halted, "Halt was asked; switch the printer off and on before going on")
	e.cooling.at = 0
	e.cool()
}

// cool begins, or prolongs, the bursts. A burst that is a moment old is not repeated at once.
func (e *Engine) cool() {
	c := &e.cooling
	fresh := c.on && c.at > 0 && e.now < c.at+burstEvery
	e.status.Asked, e.status.Confirmed = true, false
	c.until, c.reports = e.now+coolFor, 0
	if e.status.State == Unplugged {
		return // it goes on when the port comes back in time
	}
	if !c.on {
		c.on, c.n, c.refused = true, 0, false
	}
	if !fresh {
		e.burst()
	}
}

// burst writes a fresh M110 and nozzle off. They need no number but their own, and they fit beside one line of ours
// into the smallest receive buffer; the rest follows with the next reply or a moment later.
func (e *Engine) burst() {
	c := &e.cooling
	if e.now >= c.until {
		e.giveUp()
		return
	}
	e.tally.bursts++
	c.at, c.rest = e.now, true
	c.n++
	if (e.marker.ordered || c.refused) && c.n%3 != 0 { // now and then the other way, in case it is mistaken
		e.burstInTurn()
	} else {
		c.base, c.turn = e.bases.fresh(e.last, false), 0
		var room [24]byte
		e.writeLine(c.base, string(strconv.AppendInt(append(room[:0], "M110 N"...), c.base, 10)))
		e.writeLine(c.base+1, "M104 S0")
	}
	e.wait(bursting, e.now+restAfter)
}

// burstInTurn is for a firmware that refuses M110 out of its turn. It wants the line in flight, or the one behind it:
// nozzle off is sent under both numbers, and one of them is obeyed.
func (e *Engine) burstInTurn() {
	c := &e.cooling
	c.base, c.turn = e.last+1, 0
	if e.marker.named > 0 {
		c.base = e.marker.named
	}
	e.writeLine(c.base, "M104 S0")
	e.writeLine(c.base+1, "M104 S0")
}

// burstRest writes bed off and asks for a report. Where M110 was refused the nozzle comes first, in its turn.
func (e *Engine) burstRest() {
	c := &e.cooling
	c.rest = false
	next := c.base + 2
	if c.turn != 0 {
		next = c.turn
		e.writeLine(next, "M104 S0")
		next++
	}
	e.writeLine(next, "M140 S0")
	e.writeLine(next+1, "M105")
	if c.turn != 0 || e.marker.ordered {
		e.marker.named = next + 2
	}
	e.wait(bursting, c.at+burstEvery)
}

func (e *Engine) burstDue() {
	if e.cooling.rest {
		e.burstRest()
		return
	}
	e.burst()
}

// heardBursting takes a reply to a burst. A report that says off may be older than the burst, so it is not believed
// before the two sides are in step and it is said once more.
func (e *Engine) heardBursting(r gcode.Reply) {
	c := &e.cooling
	if r.Kind == gcode.Resend && r.HasLine && !r.Doubtful {
		e.marker.named = r.Line
		if r.Line <= c.base || r.Line > c.base+burstLines {
			c.turn, c.refused = r.Line, true
		}
	}
	switch {
	case c.rest && r.Kind != gcode.Error: // an error says nothing yet; the Resend behind it does
		e.burstRest()
	case !e.cold(c.at) || e.status.TempsAt != e.now:
	case e.status.State != Halted:
		e.mark()
	default:
		if c.reports++; c.reports >= 2 {
			e.isCold()
			e.wait(resting, never)
		}
	}
}

// proved takes the answer to the M105 that was sent in step.
func (e *Engine) proved() {
	if !e.cold(e.flight.sentAt) {
		e.wait(bursting, e.cooling.at+burstEvery)
		return
	}
	e.isCold()
	e.inStep()
}

// isCold is when the printer has said twice that every target is 0.
func (e *Engine) isCold() {
	e.cooling.on, e.cooling.heated = false, false
	e.status.Confirmed = true
	e.status.Version++
}

// giveUp ends the bursts. What was asked stays asked and not confirmed.
func (e *Engine) giveUp() {
	e.cooling.on, e.cooling.gaveUp = false, true
	if e.status.State == Halted {
		e.wait(resting, never)
		return
	}
	e.setState(e.status.State, "the printer did not confirm that its heaters are off; look at it")
	e.mark()
}
