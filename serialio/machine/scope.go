package machine

import (
	"context"
	"sync/atomic"

	"fettle/serialio"
)

// A scope is the time between two stops. What takes many lines must not go on after a stop that fell between two of
// them, when nothing was in flight for the line to end.
type scope struct {
	ctx context.Context
	end context.CancelCauseFunc
}

func newScope() *scope {
	ctx, end := context.WithCancelCause(context.Background())
	return &scope{ctx, end}
}

// scopes holds the scope of now. It is without a lock, because a stop waits for nothing.
type scopes struct{ now atomic.Pointer[scope] }

func (s *scopes) stop(why error) { s.now.Swap(newScope()).end(why) }

// untilStopped is ctx, ended as well by the next stop, with its reason as the cause.
func (m *Machine) untilStopped(ctx context.Context) (context.Context, func()) {
	s := m.scopes.now.Load()
	ctx, cancel := context.WithCancelCause(ctx)
	forget := context.AfterFunc(s.ctx, func() { cancel(context.Cause(s.ctx)) })
	return ctx, func() {
		forget()
		cancel(nil)
	}
}

// Stop ends everything at once and switches the heaters off. It waits for nothing, not even for a lock.
func (m *Machine) Stop() {
	m.aim.off()
	m.bedAim.off()
	m.line.Stop()
	m.scopes.stop(serialio.ErrStopped)
}

// Halt sends the word that stops the firmware itself.
func (m *Machine) Halt() {
	m.aim.off()
	m.bedAim.off()
	m.line.Halt()
	m.scopes.stop(serialio.ErrHalted)
}
