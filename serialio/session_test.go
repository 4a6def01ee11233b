package serialio

import (
	"math/rand/v2"
	"time"

	"fettle/serialio/judge"
	"fettle/serialio/standin"
)

// session is one conversation of the engine with the stand-in over two bad wires, in virtual time, and a judge beside it.
type session struct {
	seed   uint64
	rng    *rand.Rand
	engine *Engine
	split  splitter
	far    far
	down   wireModel // to the board
	up     wireModel
	turn   Mono // the board's longest turn-around
	now    Mono
	out    []Effect
	hash   hash

	plan    *judge.Plan
	judge   *judge.Judge
	next    int // the next job to submit
	open    int // jobs without an end
	opens   bool
	thinks  bool // whoever submits makes pauses, in which the line is idle
	rest    Mono // the end of one
	rested  int  // the job before which it was made
	stood   stood
	mishap  mishap
	wakes   int
	dead    Mono // since when the line has not listened
	presses int  // of the printer's switch, by a person
	stuck   bool // nothing was left that could happen

	also  func(s *session)    // what a row of the table does besides, at each turn; nil: nothing
	left  func(frame []byte)  // sees what leaves; nil: nobody does
	heard func(answer []byte) // sees what comes back
	told  func(job int, o Outcome)
	trace func(mark, text string)
}

// stood is how the line stood after the step before.
type stood struct {
	state     State
	confirmed bool
}

// mishap is what befalls a conversation, and when.
type mishap struct{ stop, reset, pull, plug Mono }

func noMishap() mishap { return mishap{never, never, never, never} }

func (m *mishap) due() Mono { return min(m.stop, m.reset, m.pull, m.plug) }

// newPlain makes a conversation with nothing wrong in it.
func newPlain(seed uint64, p standin.Profile, plan *judge.Plan) *session {
	rng := rand.New(rand.NewPCG(seed, 57))
	j := judge.New(plan, judge.Rules{Ordered: p.RefusesOddM110, InTurn: p.NoEmergency, Told: isRuleless(&p)})
	return &session{seed: seed, rng: rng, engine: NewEngine(0, 0), far: newFar(p, j), turn: 3 * time.Millisecond,
		down: newBadWire(rng, 0, 0), up: newBadWire(rng, 0, 0), plan: plan, judge: j, next: 1, mishap: noMishap(), hash: newHash}
}

// longest ends a conversation that does not.
const longest = 20 * time.Hour

// run plays it to its end.
func (s *session) run() judge.Verdict {
	s.step(Event{Kind: Tick})
	for !s.over() && s.now < longest {
		s.feed()
		if s.also != nil {
			s.also(s)
		}
		if !s.advance() {
			s.stuck = true
			break
		}
	}
	s.far.compare()
	return s.judge.Close()
}

func (s *session) over() bool {
	return s.next > s.plan.Jobs() && s.open == 0 && s.mishap == noMishap() && !s.engine.cooling.on
}

// feed submits jobs while the line listens, up to three ahead.
func (s *session) feed() {
	for s.engine.Status().State == Listening && s.next <= s.plan.Jobs() && s.open < 3 && !s.pauses() {
		s.submit(s.next)
		s.next++
	}
	if s.engine.phase == resting && s.next <= s.plan.Jobs() {
		s.wake()
	}
	switch {
	case s.engine.Status().State == Listening || s.mishap != noMishap():
		s.dead = s.now
	case s.now-s.dead > patience:
		s.dead = s.now
		s.presses++
		s.far.reset(s.now)
	}
}

// patience is how long a person looks at a printer that does not listen, before switching it off and on.
const patience = 90 * time.Second

// pauses reports whether nothing is submitted for now. Every 16th job is waited for, and then some time goes by.
func (s *session) pauses() bool {
	switch {
	case !s.thinks || s.next%16 != 0:
		return false
	case s.open > 0:
		return true
	case s.rested != s.next:
		s.rested, s.rest = s.next, s.now+Mono(s.rng.Int64N(int64(2*time.Second)))
	}
	return s.now < s.rest
}

func (s *session) submit(job int) {
	s.open++
	s.judge.Submitted(job)
	s.step(Event{Kind: Submit, Job: uint32(job), Text: []byte(s.plan.Block(job))})
}

// wake is a person who looks, switches a halted printer off and on, and goes on.
func (s *session) wake() {
	s.wakes++
	if s.engine.Status().State == Halted {
		s.far.reset(s.now)
	}
	s.step(Event{Kind: Wake})
}

// advance goes to whatever happens next.
func (s *session) advance() bool {
	next := min(s.engine.Due(), s.down.due(), s.up.due(), s.mishap.due(), s.far.due(), s.rests())
	if next == never {
		return false
	}
	s.now = max(s.now, next)
	s.far.pass(s.now)
	if s.now >= s.mishap.due() {
		s.befall()
	}
	for p := s.down.arrived(s.now); p != nil; p = s.down.arrived(s.now) {
		if s.trace != nil {
			s.trace("reached", string(p))
		}
		s.far.hear(p)
	}
	s.listen()
	for p := s.up.arrived(s.now); p != nil; p = s.up.arrived(s.now) {
		s.hears(p)
	}
	if s.now >= s.engine.Due() {
		s.step(Event{Kind: Tick})
	}
	return true
}

// rests is when the pause ends that is under way.
func (s *session) rests() Mono {
	if s.now < s.rest {
		return s.rest
	}
	return never
}

// listen puts what the board says on the wire.
func (s *session) listen() {
	said := s.far.say()
	if len(said) == 0 || s.engine.Status().State == Unplugged && !s.opens {
		return
	}
	at := s.now
	if s.turn > 0 {
		at += Mono(s.rng.Int64N(int64(s.turn)))
	}
	s.up.send(at, said)
}

// hears takes what has come back.
func (s *session) hears(p []byte) {
	s.judge.Came(s.now, p)
	if s.heard != nil {
		s.heard(p)
	}
	s.split.split(p, func(line []byte) { s.step(Event{Kind: Heard, Text: line}) })
}

// befall lets a mishap happen that is due.
func (s *session) befall() {
	m := &s.mishap
	switch s.now {
	case m.stop:
		m.stop = never
		s.step(Event{Kind: Stop})
	case m.reset:
		m.reset = never
		s.far.reset(s.now)
	case m.pull:
		m.pull = never
		s.step(Event{Kind: Gone, Text: []byte("pulled")})
	case m.plug:
		m.plug = never
	}
}

// step steps the engine and carries out its effects.
func (s *session) step(ev Event) {
	if s.trace != nil && ev.Kind != Tick {
		s.trace("<"+eventName(ev.Kind, ev.Job), string(ev.Text))
	}
	s.out = s.engine.Step(s.now, ev, s.out[:0])
	for i := range s.out {
		s.carry(&s.out[i])
	}
	s.looks()
	if s.opens {
		s.opened()
	}
}

func (s *session) carry(e *Effect) {
	s.hash.effect(s.now, e)
	if s.trace != nil {
		s.trace(">"+effectName(e), string(e.Text)+e.Why)
	}
	switch e.Do {
	case Write:
		s.judge.Left(s.now, e.Text)
		if s.left != nil {
			s.left(e.Text)
		}
		s.down.send(s.now, e.Text)
	case End:
		s.open--
		s.judge.Told(int(e.Job), e.Outcome == Obeyed)
		if s.told != nil {
			s.told(int(e.Job), e.Outcome)
		}
	case Open:
		s.opens = true
	case Close:
		s.down.clear()
		s.up.clear()
		s.split.reset()
		s.judge.Unplugged()
	}
}

// looks tells the judge of a conversation that has ended, and of heaters that are said to be off.
func (s *session) looks() {
	st := s.engine.Status()
	if s.stood.state == Listening && st.State != Listening {
		s.judge.Broke(st.Unsure)
	}
	if st.Confirmed && !s.stood.confirmed {
		s.far.noted()
		s.judge.Confirmed()
	}
	s.stood = stood{st.State, st.Confirmed}
}

// opened answers a wish for the port: it is there, or pulled.
func (s *session) opened() {
	s.opens = false
	if s.mishap.pull == never && s.mishap.plug != never {
		s.step(Event{Kind: OpenFailed, Text: []byte("no such device")})
		return
	}
	s.far.hostOpened(s.now)
	s.step(Event{Kind: Opened})
}
