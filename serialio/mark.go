package serialio

import (
	"strconv"
	"time"

	"fettle/serialio/gcode"
)

// marker is a resync under way: a fresh M110 N<base> and behind it M105 numbered out of turn. Only "Resend: base+1"
// counts: the base was never used before, so no late reply to anything else can name it, and once it is heard
// everything before it has been heard as well.
type marker struct {
	tries   int
	at      Mono // when it was sent
	base    int64
	under   int64 // the number that M110 itself was sent under
	named   int64 // what the printer named instead; 0: nothing
	before  int64 // the same, at the try before
	oks     int
	other   bool // something came that a firmware without line numbers would not say
	witness witness

	ordered   bool // this firmware obeys M110 only in its turn
	unchecked bool // this firmware keeps no line numbers at all
	lenient   int  // tries in a row that looked so
	okBehind  bool // it says an ok behind a refusal
}

// mark begins a try to get in step.
func (e *Engine) mark() {
	m := &e.marker
	m.tries++
	e.tally.marked++
	if m.ordered && m.named == 0 {
		m.named = e.last + 1
	}
	first := m.tries == 1 && e.status.State == Greeting && !e.greet.numbered && !e.cooling.on
	m.base = e.bases.fresh(e.last, first)
	m.under = m.base
	if m.named != 0 && (m.ordered || (e.cooling.on && e.cooling.refused) || (m.named == m.before && m.tries%2 == 1)) {
		m.under = m.named
	}
	m.at = e.now
	m.before, m.named, m.oks, m.other, m.witness = m.named, 0, 0, false, witness{}
	var room [24]byte
	e.writeLine(m.under, string(strconv.AppendInt(append(room[:0], "M110 N"...), m.base, 10)))
	e.writeLine(m.base+outOfTurn, "M105")
	due := e.now + e.markWait()
	if e.cooling.owed() { // a hot printer that says nothing is not waited for
		due = min(due, max(e.now+1, e.heardAt+2*e.pace.alarm(e.pace.silence)))
	}
	e.wait(marking, due)
}

// markWait grows with each try: a board may be starting, and a dead one is not to be shouted at.
func (e *Engine) markWait() Mono {
	n := e.marker.tries
	switch {
	case e.cooling.on:
		return e.pace.alarm(burstEvery)
	case n > 20:
		return e.pace.alarm(15 * time.Second)
	}
	return e.pace.alarm(Mono(min(n, 5)) * time.Second)
}

// heardMarking looks for the marker.
func (e *Engine) heardMarking(r gcode.Reply) {
	m := &e.marker
	switch r.Kind {
	case gcode.OK:
		m.oks++
		m.other = m.other || r.Doubtful
	case gcode.Error:
		m.other = true
		if r.HasLine && !r.Doubtful {
			m.witness.says(r.Line + 1)
		}
	case gcode.Resend:
		m.other = true
		if r.HasLine && !r.Doubtful {
			m.witness.says(r.Line)
			e.markNamed(r.Line)
		}
	case gcode.Busy:
		e.due = max(e.due, e.now+e.markWait())
	case gcode.Unknown:
		m.other = true
	}
}

// markNamed takes the line that the printer wants: the marker, or something else.
func (e *Engine) markNamed(wants int64) {
	m := &e.marker
	inTurn := m.under != m.base
	switch {
	case wants == m.base+1:
		e.marked(m.base, inTurn)
	case inTurn && wants == m.under+1 && m.witness.times > 1: // it counted M110 itself and did not take its N
		e.marked(m.under, true)
	default:
		m.named = wants
	}
}

// marked is in step, once the ok behind the marker is past.
func (e *Engine) marked(last int64, ordered bool) {
	m := &e.marker
	if ordered && !m.ordered {
		e.tally.ordered++
	}
	m.ordered, m.unchecked, m.lenient = ordered, false, 0
	e.last = last
	e.kept.begin(last)
	e.quietThen(thenInStep)
}

// markMissing is when the marker did not come.
func (e *Engine) markMissing() {
	m := &e.marker
	switch {
	case e.looksUnchecked():
		m.unchecked = true
		e.tally.unchecked++
		e.last = m.base
		e.kept.begin(m.base)
		e.inStep()
	case e.cooling.on:
		e.burst()
	case e.cooling.owed() && e.silentFor(2*e.pace.alarm(e.pace.silence)):
		e.setState(e.status.State, "the printer says nothing; switch it off at the mains")
		e.cool()
	default:
		e.patience()
		e.mark()
	}
}

// looksUnchecked reports whether a firmware has obeyed both lines, twice, though the second was out of its turn: it
// keeps no line numbers. Whoever keeps them refuses, and a refusal cannot vanish without a trace twice. Two oks alone may
// be anybody's: the second line is M105, so there must be a temperature.
func (e *Engine) looksUnchecked() bool {
	m := &e.marker
	if m.oks != 2 || m.other || !e.status.HasTemps || e.status.TempsAt < m.at {
		m.lenient = 0
		return false
	}
	m.lenient++
	return m.lenient >= 2 || m.unchecked
}

// inStep goes on after the marker.
func (e *Engine) inStep() {
	e.marker.tries, e.marker.named, e.marker.before, e.backoff = 0, 0, 0, firstBackoff
	e.cooling.gaveUp = false
	e.wait(idle, never)
	switch {
	case e.cooling.on:
		e.fly(0, confirm, []byte("M105"))
		e.flight.silence = e.pace.alarm(burstEvery)
		e.arm(flying)
	case e.held:
		e.wait(resting, never)
	case e.status.State == Greeting && e.marker.base == 0 && !e.marker.unchecked:
		e.greet.numbered = true
		e.mark()
	case e.status.State == Greeting:
		e.greetNext()
	default:
		e.listen()
	}
}

// listen is in step and takes work.
func (e *Engine) listen() {
	why := "in step"
	switch {
	case e.marker.unchecked:
		why = "in step as far as can be told: this firmware keeps no line numbers"
	case e.marker.ordered:
		why = "in step: this firmware sets its line number only in turn"
	}
	if e.status.State != Listening || e.status.Why != why {
		e.setState(Listening, why)
	}
	e.next()
}
