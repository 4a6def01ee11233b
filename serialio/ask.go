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

// heardDraining waits for quiet anew. Most firmwares say one ok behind a refusal, which can be seen at the marker; behind a
// question that nothing went wrong before, that ok is the last that was to come.
func (e *Engine) heardDraining(r gcode.Reply) {
	e.due = min(e.now+settle, e.drain.by)
	if r.Kind != gcode.OK || r.Doubtful {
		return
	}
	f := &e.flight
	switch e.drain.then {
	case thenInStep:
		e.marker.okBehind = true
	case thenGoOn:
		if e.marker.okBehind && f.acked && !f.garbled && f.asks == 1 {
			e.drained()
		}
	}
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
	if !e.lift && (f.asks >= mostTries || !(free || e.budget.take(e.now, perMinute))) {
		e.noisy()
		return
	}
	e.tally.asked++
	e.status.Counts.Asked++
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
		e.said.add(r.Text, r.Doubtful) // a stray ok may have come first, and this is the one with the reading
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

// verdict acts on the line that the printer wants next: what it wants is what it gets, if that is still kept. Everything
// before it is proven.
func (e *Engine) verdict(wants int64) {
	f := &e.flight
	switch {
	case wants == f.own+1:
		e.last = f.own
		e.kept.prove(f.own)
		e.told()
		e.quietThen(thenGoOn)
	case e.kept.has(wants):
		e.tally.refused++
		if wants != f.number {
			e.tally.wentBack++
			f.number, f.tries = wants, 0
		}
		e.last = wants - 1
		e.kept.prove(e.last)
		e.quietThen(thenSend)
	case wants == 1:
		e.restarted("it counts its lines from the beginning again")
	default:
		e.strayed(wants)
	}
}

// check asks what was obeyed last where nothing is in flight: the lines told done are proven, or sent again.
func (e *Engine) check() {
	e.flight = flight{purpose: check, own: e.last, number: e.last, silence: e.pace.alarm(e.pace.silence), sentAt: e.now, calm: e.now,
		acked: true, polls: e.polled}
	e.tally.checked++
	e.ask()
}

// heardIdle takes a reply while nothing is in flight. An ok or a Resend too many says that something before it was
// taken for another's.
func (e *Engine) heardIdle(r gcode.Reply) {
	if e.marker.unchecked || (r.Kind != gcode.OK && r.Kind != gcode.Resend) {
		return
	}
	e.tally.surplus++
	e.status.Counts.Surplus++
	if !e.lift && !e.surplus.take(e.now, surplusPerMinute) {
		e.hold("the printer says ok more often than it was asked")
		return
	}
	e.flight = flight{purpose: check, own: e.last, number: e.last, silence: e.pace.alarm(e.pace.silence), sentAt: e.now, calm: e.now,
		polls: e.polled}
	e.quietThen(thenAsk)
}
