package serialio

import (
	"bytes"
	"math"

	"fettle/serialio/gcode"
)

// never is a time that does not come.
const never = Mono(math.MaxInt64)

// phase is what the engine waits for. Each has one file and one meaning of due.
type phase uint8

const (
	asleep   phase = iota // no port; due: open it
	opening               // the shell is opening it
	waiting               // for the board's greeting; due: ask without one (greet.go)
	idle                  // in step, nothing in flight
	flying                // a line is in flight (exchange.go)
	asking                // which line was obeyed last? (ask.go)
	draining              // for quiet, so that no stray ok is taken for another's (ask.go)
	marking               // for the marker of a resync (mark.go)
	bursting              // heaters off (stopping.go)
	resting               // for a person: halted, or held because the cable is too noisy
)

// An Engine is the line as a pure step: an event in, effects out. It knows no clock, no goroutine and no map order, so
// the same events give the same effects. It is not safe for use by several goroutines.
type Engine struct {
	pace    pace
	now     Mono
	out     []Effect // of the step under way
	bytes   []byte   // what its Writes point into
	phase   phase
	due     Mono
	heardAt Mono   // when the printer last said anything
	line    []byte // what it said, while that is looked at

	status  Status
	queue   queue
	flight  flight
	said    said
	last    int64 // the line that the printer obeyed last, as far as it has said
	kept    kept
	polled  bool // the line told done last was M105
	bases   bases
	budget  budget
	surplus budget
	marker  marker
	greet   greet
	cooling cooling
	drain   drain
	backoff Mono
	held    bool // only a person may go on
	lift    bool // no limits on what is sent again: to count what slips through the checksum
	tally   tally
}

// tally counts what has been reached, so that a test can say what it has tried.
type tally struct {
	refused, resent, asked, unknown, marked, restarted, noisy, bursts, surplus, ordered, unchecked int
	checked, wentBack, onward, strayed                                                             int
}

// NewEngine makes an engine without a port; its first Tick asks for one. silence is the alarm of the line in flight, 0
// for 5 s; speedup shortens waits, but no alarm below 1 s.
func NewEngine(silence Mono, speedup float64) *Engine {
	e := &Engine{pace: newPace(silence, speedup), backoff: firstBackoff}
	e.bytes = make([]byte, 0, 512)
	e.said.text = make([]byte, 0, 4096)
	e.status.Why = "not opened yet"
	return e
}

// Due is when the engine wants its next Tick.
func (e *Engine) Due() Mono { return e.due }

// Status is how the line stands. Version changes whenever anything else in it does.
func (e *Engine) Status() *Status { return &e.status }

// Room reports whether another Submit will be taken.
func (e *Engine) Room() bool { return e.status.State != Listening || !e.queue.full() }

// Step takes one event at the time now and appends what must be done to out, in order.
func (e *Engine) Step(now Mono, ev Event, out []Effect) []Effect {
	e.now, e.out, e.bytes = now, out, e.bytes[:0]
	switch ev.Kind {
	case Tick:
		if now >= e.due {
			e.tick()
		}
	case Opened:
		e.opened()
	case OpenFailed:
		e.openFailed(string(ev.Text))
	case Gone:
		e.gone(string(ev.Text))
	case Heard:
		e.heard(ev.Text)
	case Submit:
		e.submit(ev.Job, ev.Text)
	case Withdraw:
		e.withdraw(ev.Job)
	case Stop:
		e.stop()
	case Halt:
		e.halt()
	case Wake:
		e.wake()
	}
	out, e.out = e.out, nil
	return out
}

// tick does what the phase waited for.
func (e *Engine) tick() {
	switch e.phase {
	case asleep:
		e.open()
	case waiting:
		e.mark()
	case flying, asking:
		e.alarm()
	case draining:
		e.drained()
	case marking:
		e.markMissing()
	case bursting:
		e.burstDue()
	default:
		e.due = never
	}
}

// heard takes one line from the printer. Here, once, it is told apart; its readings go to the status, the rest to the
// phase.
func (e *Engine) heard(line []byte) {
	if e.phase == asleep || e.phase == opening {
		return
	}
	e.heardAt, e.line = e.now, bytes.TrimSpace(line)
	r := gcode.ParseReply(line)
	e.read(r)
	if r.Doubtful {
		e.status.Counts.Garbled++
	}
	switch {
	case r.Kind == gcode.Greeting && !r.Doubtful:
		e.greeted()
	case r.Kind == gcode.Fatal:
		e.fatal(string(r.Text))
	default:
		e.heardIn(r)
	}
}

// heardIn gives a reply to the phase that waits for it.
func (e *Engine) heardIn(r gcode.Reply) {
	switch e.phase {
	case waiting:
		e.heardWaiting()
	case idle:
		e.heardIdle(r)
	case flying:
		e.heardFlying(r)
	case asking:
		e.heardAsking(r)
	case draining:
		e.heardDraining(r)
	case marking:
		e.heardMarking(r)
	case bursting:
		e.heardBursting(r)
	}
}

// wait sets the phase and when it ends by itself.
func (e *Engine) wait(p phase, due Mono) { e.phase, e.due = p, due }

// write has bytes written. They are copied, so the caller may reuse its own.
func (e *Engine) write(p []byte) {
	begin := len(e.bytes)
	e.bytes = append(e.bytes, p...)
	e.out = append(e.out, Effect{Do: Write, Text: e.bytes[begin:]})
}

// writeLine frames a block and has it written.
func (e *Engine) writeLine(number int64, block string) {
	begin := len(e.bytes)
	var room [maxBlock]byte
	e.bytes = gcode.AppendFrame(e.bytes, number, append(room[:0], block...))
	e.out = append(e.out, Effect{Do: Write, Text: e.bytes[begin:]})
}
