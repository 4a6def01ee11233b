package serialio

import (
	"strings"
	"time"

	"fettle/serialio/gcode"
)

// Boards that restart when the port is opened greet after 1 to 10 s; others are up already and say nothing until asked
// (common practice, no source).
const (
	firstListen = time.Second            // how long to listen before asking
	quietBoot   = 300 * time.Millisecond // how long a starting board must be quiet before it is asked
	longestBoot = 5 * time.Second        // a board that never is quiet is asked all the same
)

// questions are what the line asks by itself. With M110 they are all that it sends before somebody asks for more: the
// printer may be at work for someone else.
var questions = [...]string{"M115", "M105", "M114"}

// greet is a greeting under way.
type greet struct {
	next   int // the question to be asked
	misses int // how often it was not answered
	by     Mono
	// numbered: it has taken M110 N0. A board that has just started counts from 0 anyway, so that proves nothing about
	// M110; a second marker on another number does, and a Stop must know.
	numbered bool
}

// opened is a port that is open: the board may be starting, or may have been up for days.
func (e *Engine) opened() {
	if e.phase != opening {
		return
	}
	e.heardAt = e.now
	e.marker = marker{}
	e.held = false
	e.status.Identity = gcode.Identity{} // whoever answers now says it anew
	e.greet = greet{by: e.now + e.pace.wait(longestBoot)}
	e.setState(Greeting, "open; listening for its greeting")
	if e.status.Asked && !e.status.Confirmed && e.now < e.cooling.until {
		e.cool()
		return
	}
	e.wait(waiting, e.now+e.pace.wait(firstListen))
}

// greeted is a board that has just started.
func (e *Engine) greeted() {
	e.status.Greetings++
	e.status.Version++
	switch {
	case e.status.State == Halted:
	case e.cooling.on:
		e.held = false // as behind any other restart: there is nothing left to go on with
		e.greet = greet{numbered: true}
		e.setState(Greeting, "the printer restarted while it was being stopped")
	default:
		e.restarted("the printer has just started")
	}
}

// heardWaiting puts the first question off until a starting board has said what it has to say.
func (e *Engine) heardWaiting() {
	e.due = min(max(e.due, e.now+e.pace.wait(quietBoot)), e.greet.by)
}

// patience says what is waited for, once the marker has not come three times.
func (e *Engine) patience() {
	if e.marker.tries != 3 {
		return
	}
	if e.status.State == Listening { // the count was to begin anew, and it did not
		e.endQueue(Unsent, "the printer did not take a new line number")
		e.setState(OutOfStep, "the printer did not take a new line number")
	}
	if e.status.State != Greeting {
		return
	}
	why := "asked three times; it answers, but not by line numbers"
	if e.silentFor(e.pace.alarm(3 * time.Second)) {
		why = "asked three times; it says nothing"
	}
	e.setState(Greeting, why)
}

// greetNext asks the next question, or takes work when all are answered.
func (e *Engine) greetNext() {
	if e.greet.next >= len(questions) {
		e.listen()
		return
	}
	e.fly(0, question, []byte(questions[e.greet.next]))
}

// answered takes the answer to a question.
func (e *Engine) answered() {
	if questions[e.greet.next] == "M115" {
		e.status.Identity = gcode.ParseIdentity(strings.Split(string(e.said.text), "\n"))
		e.status.Version++
	}
	e.greet.next, e.greet.misses = e.greet.next+1, 0
	e.greetNext()
}

// missed is a question without an answer. It is asked twice and then left.
func (g *greet) missed() {
	if g.misses++; g.misses >= 2 {
		g.next, g.misses = g.next+1, 0
	}
}
