package serialio

import (
	"bytes"
	"context"
	"fmt"
	"time"
)

// loop is the one goroutine that steps the engine. It touches no disk and waits for no listener, so nothing that
// happens elsewhere can hold a stop up.
type loop struct {
	line    *Line
	engine  *Engine
	effects []Effect // reused
	calls   map[uint32]*call
	timer   *time.Timer
	armed   Mono // when the timer fires
	graced  bool // it fired late, and is waited for once more
	version uint64
	state   State

	cable  *cable // nil: no port
	split  splitter
	opener opener
}

// Run opens the port, keeps the conversation and opens the port again whenever it comes back. It never resumes work. It
// blocks until ctx ends and everything it started has ended, and returns nil.
func (l *Line) Run(ctx context.Context) error {
	defer close(l.ended)
	p := &loop{line: l, engine: NewEngine(l.cfg.Silence, l.cfg.Speedup), calls: map[uint32]*call{},
		timer: time.NewTimer(0), opener: newOpener(l.cfg.Open)}
	defer p.timer.Stop()
	for ctx.Err() == nil {
		p.once(ctx)
	}
	p.end()
	return nil
}

// once waits for one thing to happen and steps the engine with it. A press is looked at before everything else.
func (p *loop) once(ctx context.Context) {
	l := p.line
	select {
	case <-l.stopped:
		p.step(ctx, Event{Kind: Stop})
		return
	case <-l.halted:
		p.step(ctx, Event{Kind: Halt})
		return
	default:
	}
	submits := l.submits
	if !p.engine.Room() {
		submits = nil
	}
	select {
	case <-l.stopped:
		p.step(ctx, Event{Kind: Stop})
	case <-l.halted:
		p.step(ctx, Event{Kind: Halt})
	case <-l.woken:
		p.step(ctx, Event{Kind: Wake})
	case c := <-submits:
		p.submit(ctx, c)
	case job := <-l.withdraws:
		p.step(ctx, Event{Kind: Withdraw, Job: job})
	case read := <-p.cable.read():
		p.heard(ctx, read)
	case err := <-p.cable.failure():
		p.failed(ctx, err)
	case o := <-p.opener.done:
		p.opened(ctx, o)
	case <-p.timer.C:
		p.tick(ctx)
	case <-ctx.Done():
	}
}

// submit hands a call to the engine, unless a stop was pressed since it was made.
func (p *loop) submit(ctx context.Context, c *call) {
	if c.stops != p.line.stops.Load() {
		c.done <- result{err: ErrStopped}
		return
	}
	p.calls[c.job] = c
	p.step(ctx, Event{Kind: Submit, Job: c.job, Text: c.block})
}

// heard makes lines of a read, which is a few at most.
func (p *loop) heard(ctx context.Context, read []byte) {
	p.split.split(read, func(line []byte) {
		p.line.wire.add(time.Now(), false, line)
		p.step(ctx, Event{Kind: Heard, Text: line})
	})
}

// failed takes the end of the port. What it said before is heard first.
func (p *loop) failed(ctx context.Context, err error) {
	for {
		select {
		case read := <-p.cable.read():
			p.heard(ctx, read)
			continue
		default:
		}
		break
	}
	p.step(ctx, Event{Kind: Gone, Text: []byte(err.Error())})
}

// tick is the timer. What was said before it fired is heard first. One that fires late is waited for once more.
func (p *loop) tick(ctx context.Context) {
	again := graceFor(p.now() - p.armed)
	if again > 0 && !p.graced {
		p.graced, p.armed = true, p.now()+again
		p.timer.Reset(again)
		return
	}
	p.graced, p.armed = false, never
	select {
	case read := <-p.cable.read():
		p.heard(ctx, read)
	default:
	}
	p.step(ctx, Event{Kind: Tick})
}

// opened takes the port, or the reason why there is none.
func (p *loop) opened(ctx context.Context, o openedPort) {
	if o.err != nil {
		p.step(ctx, Event{Kind: OpenFailed, Text: []byte(o.err.Error())})
		return
	}
	p.split.reset()
	p.cable = newCable(o.port)
	p.step(ctx, Event{Kind: Opened})
}

// step steps the engine, does what it says, and sets the timer. Bytes go first. Callers are told last, so that whoever is
// told something finds it in the snapshot.
func (p *loop) step(ctx context.Context, ev Event) {
	p.effects = p.engine.Step(p.now(), ev, p.effects[:0])
	for i := range p.effects {
		p.do(ctx, &p.effects[i])
	}
	if s := p.engine.Status(); s.Version != p.version {
		p.version = s.Version
		p.line.publish(s)
		p.log(s)
	}
	p.tell()
	p.arm()
}

func (p *loop) do(ctx context.Context, e *Effect) {
	switch e.Do {
	case Write:
		p.cable.write(e.Text)
		p.line.wire.add(time.Now(), true, bytes.TrimSpace(e.Text))
	case Open:
		p.opener.open(ctx)
	case Close:
		p.opener.closing(p.cable)
		p.cable = nil
	}
}

// tell tells the callers whose jobs have ended.
func (p *loop) tell() {
	for i := range p.effects {
		e := &p.effects[i]
		if c := p.calls[e.Job]; e.Do == End && c != nil {
			delete(p.calls, e.Job)
			c.done <- result{reply: replyOf(*e), err: errorOf(*e)}
		}
	}
}

// arm sets the one timer. It may stay set too early: a stale tick is harmless, and setting it anew for every line is
// not free.
func (p *loop) arm() {
	due := p.engine.Due()
	if p.graced || due == never || due >= p.armed {
		return
	}
	p.armed = max(due, p.now())
	p.timer.Reset(max(due-p.now(), 0))
}

func (p *loop) now() Mono { return time.Since(p.line.began) }

// log says each change of state once.
func (p *loop) log(s *Status) {
	if s.State != p.state {
		p.state = s.State
		p.line.cfg.Log.Info("line "+s.State.String(), "why", s.Why)
	}
}

// end tells every caller and waits for everything the loop started.
func (p *loop) end() {
	for job, c := range p.calls {
		delete(p.calls, job)
		c.done <- result{err: fmt.Errorf("%w: the agent is ending", ErrUnplugged)}
	}
	p.opener.closing(p.cable)
	p.opener.end()
	s := *p.engine.Status()
	s.State, s.Why, s.Since = Unplugged, "the agent is ending", p.now()
	p.line.publish(&s)
}
