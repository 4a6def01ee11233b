// Package pulse tells any number of listeners that something is new, and never waits for one of them.
//
// Owns: one channel at a time, closed when something is new.
// Guarantees: whoever takes Wait before looking misses nothing; a publisher never blocks.
// Does not do: carry the news. A listener looks for itself, so a slow one sees the newest and holds nobody up.
// Read next: serialio/wire.go and routines/logbook, which are listened to in this way.
package pulse

import "sync"

// A Pulse is ready to use as its zero value.
type Pulse struct {
	mu   sync.Mutex
	next chan struct{}
}

// Wait returns a channel that is closed at the next Beat.
func (p *Pulse) Wait() <-chan struct{} {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.next == nil {
		p.next = make(chan struct{})
	}
	return p.next
}

// Beat wakes everyone who waits.
func (p *Pulse) Beat() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.next != nil {
		close(p.next)
		p.next = nil
	}
}
