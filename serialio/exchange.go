package serialio

import "fettle/serialio/gcode"

// purpose says whose line is in flight.
type purpose uint8

const (
	callers  purpose = iota // a job's
	question                // one of the line's own, in the greeting
	confirm                 // the M105 that proves a stop
	check                   // none: an ok too many has come, and what was obeyed last is asked
)

// mostTries is how often one line is sent, and how often it is asked after.
const mostTries = 8

// flight is the line that is on its way, and the way there: where the printer asks for an earlier one, that and those
// behind it are sent again first. Each keeps its number, so the printer obeys it at most once, whatever was lost.
type flight struct {
	job     uint32 // 0: nobody waits for it
	purpose purpose
	own     int64 // the caller's line
	number  int64 // the line on the wire: that one, or one told done before that has to be sent again
	tries   int
	asks    int
	sentAt  Mono
	calm    Mono // when the printer last said that it is busy, or the line was sent
	silence Mono
	doubt   bool // a reply since it was sent could not be read for certain
	hurry   bool // the printer is idle, so one of the two sides has lost something
	doubtAt Mono
	failed  bool // it was answered with an error that asks for nothing
	garbled bool // a reply other than that error was in doubt
	acked   bool // an ok has come
	prove   bool // its ok alone is never believed
	polls   bool // it is M105: an ok without a temperature is another line's
	why     string
	witness witness
}

// next sends the next block, if the line is free.
func (e *Engine) next() {
	if e.phase != idle || e.status.State != Listening || e.queue.n == 0 {
		return
	}
	wraps := e.last >= e.bases.wrapAt
	switch {
	case !e.marker.unchecked && (e.kept.full() || wraps && e.kept.unsure() > 0):
		e.check()
		return
	case wraps:
		e.mark()
		return
	}
	if w := e.queue.pop(); w != nil {
		e.fly(w.job, callers, w.block[:w.n])
	}
}

// fly sends a block under the next number.
func (e *Engine) fly(job uint32, p purpose, block []byte) {
	e.flight = flight{job: job, purpose: p, own: e.last + 1, number: e.last + 1, silence: e.pace.silenceOf(block)}
	e.flight.prove, e.flight.polls = provable(block), command(block) == "M105"
	e.kept.keep(e.flight.number, block)
	e.status.Counts.Lines++
	e.cooling.note(block)
	e.transmit()
}

// transmit writes the line, for the first time or again. Whatever was said before is not about it.
func (e *Engine) transmit() {
	f := &e.flight
	f.tries++
	f.sentAt, f.calm = e.now, e.now
	f.doubt, f.hurry, f.failed, f.garbled, f.acked = false, false, false, false, false
	f.witness = witness{}
	e.said.reset()
	e.write(e.kept.frame(f.number))
	e.arm(flying)
}

// heardFlying takes a reply while a line is in flight.
func (e *Engine) heardFlying(r gcode.Reply) {
	f := &e.flight
	switch r.Kind {
	case gcode.OK:
		e.acknowledged(r)
		return
	case gcode.Resend:
		e.wanted(r)
		return
	case gcode.Busy:
		f.calm = e.now
	case gcode.Wait:
		f.hurried(e.now)
	case gcode.Error:
		f.fail(r, e.now)
	case gcode.Remark: // it may be about half a line of ours
		e.said.add(e.line, r.Doubtful)
		f.unsure(e.now)
	default:
		e.said.add(e.line, r.Doubtful)
	}
	if r.Doubtful {
		f.suspect(e.now)
	}
	e.arm(flying)
}

// acknowledged takes an ok. It is a yes only if nothing since the line was sent leaves a doubt.
func (e *Engine) acknowledged(r gcode.Reply) {
	f := &e.flight
	if r.HasLine && r.Line != f.number { // the ok of another line
		f.suspect(e.now)
		e.arm(flying)
		return
	}
	f.acked = true
	e.said.add(r.Text, r.Doubtful)
	if r.Glued {
		f.unsure(e.now)
	}
	if r.Doubtful {
		f.suspect(e.now)
	}
	if f.polls && f.number == f.own && !e.marker.unchecked {
		e.hearPoll(r)
	}
	switch {
	case !f.doubt && !(f.prove && f.number == f.own && !e.marker.unchecked):
		e.obeyed()
	case !e.marker.unchecked:
		e.ask()
	case !f.garbled: // a firmware without numbers: its words are all there is
		e.obeyed()
	default:
		e.lost("a reply could not be read, and this firmware keeps no line numbers to ask after")
	}
}

// wanted takes a Resend while a line is in flight. Only one for this very line says that it was refused; every other
// is a doubt. Neither is answered before the printer is quiet.
func (e *Engine) wanted(r gcode.Reply) {
	f := &e.flight
	if r.HasLine && !r.Doubtful && r.Line == f.number {
		e.tally.refused++
		e.quietThen(thenSend)
		return
	}
	f.suspect(e.now)
	if e.marker.unchecked {
		e.arm(flying)
		return
	}
	e.quietThen(thenAsk)
}

// provable reports whether a block ends a step. An ok that came twice would be taken for the next line's; at the end of
// a step it is found out.
func provable(block []byte) bool {
	switch command(block) {
	case "M400", "M500", "M501":
		return true
	}
	return false
}

// hearPoll looks at the ok of an M105. One with a temperature is its own and no other's, which proves the line; one
// without any is another line's that came too late. Two M105 in a row could be taken for each other.
func (e *Engine) hearPoll(r gcode.Reply) {
	f := &e.flight
	_, warm := gcode.ParseTemperatures(r.Text)
	switch {
	case f.doubt:
	case warm && !e.polled:
		e.kept.prove(f.number)
	case !warm && (!e.status.HasTemps || e.status.TempsAt < f.sentAt):
		f.unsure(e.now)
	}
}

// obeyed goes on behind a line that the printer has obeyed, or answered with an error: to the next of those that are sent
// again, or, behind the caller's own, to the caller.
func (e *Engine) obeyed() {
	f := &e.flight
	e.last = f.number
	if f.number < f.own {
		e.onward(f.number + 1)
		return
	}
	e.told()
	e.goOn()
}

// onward sends the next of the lines that are sent again.
func (e *Engine) onward(number int64) {
	e.flight.number, e.flight.tries = number, 0
	e.tally.onward++
	e.transmit()
}

// told tells the caller of a line that reached the printer whole.
func (e *Engine) told() {
	e.kept.told, e.polled = e.flight.own, e.flight.polls
	if e.flight.failed {
		e.endFlight(Refused, e.flight.why)
		return
	}
	e.endFlight(Obeyed, "")
}

// goOn does what comes after a line whose fate is known.
func (e *Engine) goOn() {
	e.wait(idle, never)
	switch e.flight.purpose {
	case question:
		e.answered()
	case confirm:
		e.proved()
	default:
		e.next()
	}
}

// sendAgain sends the refused line once more, as long as it may.
func (e *Engine) sendAgain() {
	if !e.lift && (e.flight.tries >= mostTries || !e.budget.take(e.now, perMinute)) {
		e.noisy()
		return
	}
	e.tally.resent++
	e.status.Counts.Again++
	e.transmit()
}

// suspect notes that a reply was in doubt.
func (f *flight) suspect(now Mono) {
	f.garbled = true
	f.unsure(now)
}

// fail notes an error. It may be the first half of a refusal whose second half is lost, so it is a doubt as well.
func (f *flight) fail(r gcode.Reply, now Mono) {
	f.failed, f.why = true, string(r.Text)
	f.unsure(now)
}

func (f *flight) unsure(now Mono) {
	f.doubt = true
	f.hurried(now)
}

func (f *flight) hurried(now Mono) {
	if !f.hurry {
		f.hurry, f.doubtAt = true, now
	}
}
