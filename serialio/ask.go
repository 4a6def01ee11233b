package serialio

import "fettle/serialio/gcode"

// outOfTurn is how far ahead of its turn the line is numbered that asks what was obeyed last. The printer cannot obey
// it, and it would be harmless if it did: it is M105.
const outOfTurn = 7

// witness is what the printer has said, without doubt, that it wants next. Replies carry no check, so an obedience
// needs it said twice: "Last Line: 57" and "Resend: 58" are two.
type witness struct {
	wants int64
	times int
}

func (w *witness) says(wants int64) {
	if w.times > 0 && w.wants == wants {
		w.times++
		return
	}
	*w = witness{wants: wants, times: 1}
}

// then is what is done once the printer is quiet.
type then uint8

const (
	thenSend then = iota
	thenAsk
	thenGoOn
	thenInStep
)

// drain is a wait for quiet.
type drain struct {
	then then
	by   Mono
}

// quietThen waits until no stray reply can come any more. Retries come from here and from alarms, never from a reply:
// a reply that bred a retry would breed the next reply.
func (e *Engine) quietThen(t then) {
	e.drain = drain{then: t, by: e.now + settleMost}
	e.wait(draining, e.now+settle)
}

func (e *Engine) drained() {
	switch e.drain.then {
	case thenSend:
		e.sendAgain()
	case thenAsk:
		e.ask()
	case thenGoOn:
		e.goOn()
	case thenInStep:
		e.inStep()
	}
}

// ask sends M105 out of turn. The printer's Resend then names what it obeyed last.
func (e *Engine) ask() {
	f := &e.flight
	free := f.asks < 2 && f.acked && !f.garbled // a remark or the end of a step is looked into, and is no noise
	if f.asks >= mostTries || !(free || e.budget.take(e.now)) {
		e.noisy()
		return
	}
	e.tally.asked++
	f.asks++
	e.writeLine(f.number-1+outOfTurn, "M105")
	f.doubtAt = e.now
	e.arm(asking)
}

// arm sets the alarm of a line in flight: when to ask what became of it, and when to give it up.
func (e *Engine) arm(p phase) {
	f := &e.flight
	lost := f.calm + f.silence
	if e.marker.unchecked {
		e.wait(p, lost)
		return
	}
	lost = max(lost, e.heardAt+f.silence)
	again := max(e.pace.alarm(shortest), f.silence/8)
	next := f.calm + f.silence/2
	if p == asking || f.hurry {
		next = max(f.doubtAt, f.calm) + again
	}
	e.wait(p, min(next, lost))
}

// alarm is when a line in flight has waited too long for a word.
func (e *Engine) alarm() {
	f := &e.flight
	silent := e.now >= f.calm+f.silence && e.now >= max(e.heardAt, f.sentAt)+f.silence
	if silent || e.marker.unchecked {
		e.lost("the printer said nothing in time")
		return
	}
	e.ask()
}

// heardAsking takes a reply while the question is under way. The line's own answer may still come before it.
func (e *Engine) heardAsking(r gcode.Reply) {
	f := &e.flight
	switch r.Kind {
	case gcode.Resend:
		e.named(r)
		return
	case gcode.Error:
		if r.HasLine && !r.Doubtful {
			f.witness.says(r.Line + 1)
		}
	case gcode.Busy:
		f.calm = e.now
	case gcode.OK:
		if !f.acked {
			e.said.add(r.Text, r.Doubtful)
		}
		f.acked = true
	case gcode.Wait:
	default:
		e.said.add(e.line, r.Doubtful)
	}
	e.arm(asking)
}

// named takes the Resend that answers the question.
func (e *Engine) named(r gcode.Reply) {
	f := &e.flight
	if r.HasLine && !r.Doubtful {
		f.witness.says(r.Line)
	}
	if !r.HasLine || r.Doubtful || f.witness.times < 2 {
		e.quietThen(thenAsk)
		return
	}
	e.verdict(f.witness.wants)
}

// verdict acts on the line that the printer wants next.
func (e *Engine) verdict(wants int64) {
	f := &e.flight
	switch {
	case wants == f.number+1:
		e.last = f.number
		e.told()
		e.quietThen(thenGoOn)
	case wants == f.number && f.purpose != check:
		e.tally.refused++
		e.quietThen(thenSend)
	case wants == 1:
		e.restarted("it counts its lines from the beginning again")
	default:
		e.lost("the printer's line count is not ours")
	}
}

// heardIdle takes a reply while nothing is in flight. An ok or a Resend too many says that something before it was
// taken for another's.
func (e *Engine) heardIdle(r gcode.Reply) {
	if e.marker.unchecked || (r.Kind != gcode.OK && r.Kind != gcode.Resend) {
		return
	}
	e.tally.surplus++
	f := &e.flight
	*f = flight{purpose: check, number: e.last, frame: f.frame[:0], silence: e.pace.alarm(e.pace.silence), sentAt: e.now, calm: e.now}
	e.quietThen(thenAsk)
}
