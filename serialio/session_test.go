package serialio

import (
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"time"
)

// session is one conversation of the engine with a board over two bad wires, in virtual time, and the verdict on it.
type session struct {
	seed   uint64
	rng    *rand.Rand
	engine *Engine
	split  splitter
	board  board
	down   wireModel // to the board
	up     wireModel
	now    Mono
	busy   Mono // the board works until then
	says   []string
	tick   Mono // the board's next "busy" line
	out    []Effect
	room   []byte
	hash   uint64

	jobs    int
	next    int // the next job to submit
	open    int // jobs without an end
	judge   *judge
	stopAt  Mono
	resetAt Mono // the board restarts
	wakes   int

	trace func(mark, text string)
}

var flavours = [...]board{{}, {quietRefusal: true}, {twiceRefusal: true}, {terse: true}, {numberedOK: true}, {stubborn: true}}

// newSession draws a conversation from a seed: the flavour of the board, the damage, and whether somebody stops it.
func newSession(seed uint64, jobs int) *session {
	rng := rand.New(rand.NewPCG(seed, 57))
	s := &session{seed: seed, rng: rng, engine: NewEngine(0, 0), board: flavours[rng.IntN(len(flavours))], jobs: jobs,
		judge: newJudge(jobs), next: 1, stopAt: never, resetAt: never, hash: 14695981039346656037}
	rates := [...]float64{0, 1e-5, 1e-4, 1e-3, 3e-3, 1e-2, 2e-2}
	rate := rates[rng.IntN(len(rates))]
	late := Mono(rng.IntN(3)) * 10 * time.Millisecond
	s.down = wireModel{rng: rng, rate: rate, late: late}
	s.up = wireModel{rng: rng, rate: rate, late: late}
	if rng.IntN(3) == 0 {
		s.up.dropOK = 0.01
	}
	if rng.IntN(5) == 0 {
		s.stopAt = 2*time.Second + Mono(rng.Int64N(int64(4*time.Second)))
	}
	if rng.IntN(8) == 0 {
		s.resetAt = 2*time.Second + Mono(rng.Int64N(int64(4*time.Second)))
	}
	return s
}

// run plays it to its end.
func (s *session) run() verdict {
	const longest = 4 * time.Hour
	s.step(Event{Kind: Tick})
	for !s.over() && s.now < longest {
		s.feed()
		if !s.advance() {
			break
		}
	}
	return s.judge.close(s)
}

func (s *session) over() bool {
	return s.next > s.jobs && s.open == 0 && s.stopAt == never && s.resetAt == never && !s.cooling() && s.quiet()
}

func (s *session) quiet() bool {
	return s.up.due() == never && s.down.due() == never && len(s.says) == 0 && !s.board.hasLine() && (s.engine.phase == idle || s.engine.phase == resting)
}

func (s *session) cooling() bool {
	st := s.engine.Status()
	return st.Asked && !st.Confirmed && s.engine.cooling.on
}

// feed submits jobs while the line listens, up to three ahead, and wakes a line that waits for a person.
func (s *session) feed() {
	st := s.engine.Status()
	for st.State == Listening && s.next <= s.jobs && s.open < 3 {
		job := s.next
		s.next++
		s.open++
		s.step(Event{Kind: Submit, Job: uint32(job), Text: []byte(s.judge.blocks[job])})
	}
	if s.engine.phase == resting && s.next <= s.jobs {
		s.wakes++
		s.step(Event{Kind: Wake})
	}
}

// advance goes to whatever happens next.
func (s *session) advance() bool {
	next := min(s.engine.Due(), s.down.due(), s.up.due(), s.stopAt, s.resetAt)
	if len(s.says) > 0 || s.board.hasLine() {
		next = min(next, max(s.busy, s.now), s.tick)
	}
	if next == never {
		s.judge.hung++
		return false
	}
	s.now = max(s.now, next)
	if s.now >= s.resetAt {
		s.resetAt = never
		s.board.restart()
		s.says, s.busy, s.tick = append(s.says[:0], "start"), s.now, never
	}
	s.boardWorks()
	if s.now >= s.stopAt {
		s.stopAt = never
		s.step(Event{Kind: Stop})
	}
	s.room = s.up.arrived(s.now, s.room[:0])
	s.split.split(s.room, func(line []byte) { s.step(Event{Kind: Heard, Text: line}) })
	if s.now >= s.engine.Due() {
		s.step(Event{Kind: Tick})
	}
	return true
}

// boardWorks lets the board hear what has arrived, work, and answer when the work is done.
func (s *session) boardWorks() {
	s.room = s.down.arrived(s.now, s.room[:0])
	for _, c := range s.room {
		s.board.receive(c)
	}
	if s.now >= s.tick && s.now < s.busy {
		s.up.say(s.now, "echo:busy: processing")
		s.tick += 2 * time.Second
	}
	if s.now < s.busy {
		return
	}
	for _, line := range s.says {
		s.up.say(s.now, line)
	}
	s.says, s.tick = s.says[:0], never
	if s.board.hasLine() {
		var did *obeyed
		if did, s.says = s.board.work(); did != nil {
			if s.trace != nil {
				s.trace("obeyed", fmt.Sprint(*did))
			}
			s.judge.obeyed(*did)
		}
		s.busy = s.now + Mono(s.rng.IntN(3000))*time.Microsecond
		if s.rng.IntN(400) == 0 { // a long command
			s.busy, s.tick = s.now+Mono(s.rng.IntN(9000))*time.Millisecond, s.now+2*time.Second
		}
	}
}

// step steps the engine and carries out its effects.
func (s *session) step(ev Event) {
	if s.trace != nil && ev.Kind != Tick {
		s.trace(fmt.Sprintf("<%d %d", ev.Kind, ev.Job), string(ev.Text))
	}
	s.out = s.engine.Step(s.now, ev, s.out[:0])
	s.judge.stands(s.engine.Status(), &s.board)
	effects := append([]Effect(nil), s.out...)
	for _, e := range effects {
		s.note(e)
		if s.trace != nil {
			s.trace(fmt.Sprintf(">%d %d/%d", e.Do, e.Job, e.Outcome), string(e.Text)+e.Why)
		}
		switch e.Do {
		case Write:
			s.judge.sent(string(e.Text))
			s.down.send(s.now, e.Text)
		case Open:
			defer s.step(Event{Kind: Opened})
		case End:
			s.open--
			s.judge.ended(int(e.Job), e.Outcome)
		}
	}
}

// note folds an effect into the trace, so that two runs can be compared.
func (s *session) note(e Effect) {
	h := fnv.New64a()
	fmt.Fprintf(h, "%d %d %d %d %d %s %s", s.hash, s.now, e.Do, e.Job, e.Outcome, e.Text, e.Why)
	s.hash = h.Sum64()
}
