package api

import (
	"sync"
	"time"
)

// pressEvery is how often a printer is told to stop by those who are not paired. Anybody on the network may press, as
// fast as he can: a press that comes sooner shares the next turn with all others that wait for it.
const pressEvery = 20 * time.Millisecond

// presses puts presses together. Each press is followed by a stop that began after it; none is refused or forgotten.
type presses struct {
	mu    sync.Mutex
	turns map[string]*turn // of each printer that was pressed a moment ago
}

// turn is one stop, and those who wait for it.
type turn struct {
	next    *turn // nil: nobody waits
	done    chan struct{}
	outcome error
}

// press stops at once where no stop was a moment ago, and otherwise in the next turn.
func (p *presses) press(printer string, stop func() error) error {
	p.mu.Lock()
	last := p.turns[printer]
	if last == nil {
		if p.turns == nil {
			p.turns = map[string]*turn{}
		}
		first := &turn{done: make(chan struct{})}
		p.turns[printer] = first
		p.mu.Unlock()
		return p.take(printer, first, stop)
	}
	if last.next == nil {
		last.next = &turn{done: make(chan struct{})}
	}
	mine := last.next
	p.mu.Unlock()
	<-mine.done // it comes within pressEvery and however long a stop takes, which waits for nothing
	return mine.outcome
}

// take has one turn, and sees to it that the next one comes.
func (p *presses) take(printer string, t *turn, stop func() error) error {
	t.outcome = stop()
	close(t.done)
	time.AfterFunc(pressEvery, func() { // ends with the last turn that somebody waits for
		p.mu.Lock()
		next := t.next
		if next == nil {
			delete(p.turns, printer)
		} else {
			p.turns[printer] = next
		}
		p.mu.Unlock()
		if next != nil {
			_ = p.take(printer, next, stop) // those who wait are told
		}
	})
	return t.outcome
}
