package serialio

import (
	"strconv"
	"time"
)

// broken notes how many lines the end of a conversation leaves told done and unproven.
func (e *Engine) broken() {
	if e.marker.unchecked {
		return // there are no numbers to prove anything by
	}
	e.status.Breaks++
	e.status.Unsure = e.kept.unsure()
	e.kept.told = e.kept.proven // said once
	e.status.Version++
}

// lost ends the line in flight with unknown fate, and the line is out of step. It is never guessed and never sent
// again: whoever sent it must look and decide.
func (e *Engine) lost(why string) {
	e.tally.unknown++
	e.broken()
	e.endFlight(Unknown, why)
	switch {
	case e.cooling.on:
		e.burst()
	case e.status.State == Greeting:
		e.greet.missed()
		e.mark()
	default:
		e.endQueue(Unsent, why)
		e.setState(OutOfStep, why)
		e.mark()
	}
}

// noisy ends the line in flight because it was sent, or asked after, too often.
func (e *Engine) noisy() {
	e.tally.noisy++
	e.hold("the cable is noisy: too many lines had to be sent again")
}

// strayed ends the line in flight because the printer wants one that is not kept: it was proven to be obeyed, or it was
// never sent. Whatever the reason is, nothing that could be sent would be right.
func (e *Engine) strayed(wants int64) {
	e.tally.strayed++
	why := "the printer asks for line " + strconv.FormatInt(wants, 10) + ", which was never sent"
	if wants <= e.kept.proven {
		why = "the printer asks for line " + strconv.FormatInt(wants, 10) + ", which is no longer kept: it had said that it obeyed it"
	}
	e.hold(why)
}

// hold stops all work until a person wants it to go on. Heaters that we switched on are switched off.
func (e *Engine) hold(why string) {
	if e.cooling.on || e.status.State == Greeting {
		e.lost(why)
		return
	}
	e.broken()
	e.endFlight(Unknown, why)
	e.endQueue(Unsent, why)
	e.held = true
	e.setState(OutOfStep, why)
	e.wait(resting, never)
	if e.cooling.heated {
		e.cool()
	}
}

// restarted ends everything because the board has begun anew: it has forgotten where it stands, and its heaters are
// off.
func (e *Engine) restarted(why string) {
	e.tally.restarted++
	e.broken()
	e.endAll(Restarted, why)
	e.held, e.cooling.heated = false, false
	e.setState(Greeting, why)
	e.marker.tries = 0
	e.greet = greet{by: e.now + e.pace.wait(longestBoot)}
	e.wait(waiting, e.now+e.pace.wait(quietBoot))
}

// fatal takes the words of a firmware that stopped itself. Its heaters are told to go off all the same.
func (e *Engine) fatal(words string) {
	if e.status.State == Halted {
		return
	}
	e.status.Fault = words
	e.broken()
	e.endAll(WasHalted, words)
	e.setState(Halted, "the printer stopped itself")
	e.cool()
}

// open asks the shell for the port.
func (e *Engine) open() {
	e.out = append(e.out, Effect{Do: Open})
	e.wait(opening, never)
}

// openFailed waits a little longer each time, at most a second, and tries again. Looking for a device that is not there
// touches no machine.
func (e *Engine) openFailed(why string) {
	e.setState(Unplugged, why)
	e.sleep()
}

// gone takes the end of the port. Whether the printer is still hot is not known.
func (e *Engine) gone(why string) {
	if e.phase == asleep || e.phase == opening {
		return
	}
	e.broken()
	e.endAll(Lost, why)
	e.cooling.on = false // it goes on when the port is back in time
	e.out = append(e.out, Effect{Do: Close})
	e.setState(Unplugged, why)
	e.sleep()
}

func (e *Engine) sleep() {
	e.wait(asleep, e.now+e.backoff)
	e.backoff = min(2*e.backoff, mostBackoff)
}

// wake is a person who asks to go on: open the port anew after a halt, which resets many boards, or get in step again.
func (e *Engine) wake() {
	switch {
	case e.phase == opening:
	case e.status.State == Unplugged:
		e.open()
	case e.status.State == Halted:
		e.out = append(e.out, Effect{Do: Close})
		e.status.Fault = ""
		e.setState(Unplugged, "opening the port anew")
		e.cooling.on = false
		e.open()
	case e.cooling.on:
		e.held = false
	case e.status.State == OutOfStep:
		e.held = false
		e.mark()
	case e.phase == waiting:
		e.mark()
	}
}

// silentFor reports whether the printer has said nothing for that long.
func (e *Engine) silentFor(d time.Duration) bool { return e.now-e.heardAt >= d }
