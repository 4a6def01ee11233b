package runner

import (
	"context"
	"errors"
	"fmt"
)

// alone keeps a printer for one act that is no run: no run takes it, no line is typed, nothing owed is given back meanwhile.
// The context ends with the agent's life and not with the request: what has begun is seen through although the client
// may have gone.
func (r *Runner) alone(ctx context.Context, b *bench) (context.Context, func(), error) {
	select {
	case b.typing <- struct{}{}:
	case <-ctx.Done():
		return ctx, nil, fmt.Errorf("wait for another line: %w", context.Cause(ctx))
	}
	untype := func() { <-b.typing }
	if err := b.notTaken(ctx); err != nil {
		untype()
		return ctx, nil, err
	}
	unhold, err := b.hold(ctx)
	if err != nil {
		untype()
		return ctx, nil, err
	}
	working, end, err := r.working(ctx)
	if err != nil {
		unhold()
		untype()
		return ctx, nil, err
	}
	return working, func() { end(); unhold(); untype() }, nil
}

// notTaken refuses a printer that a run holds, that does not listen, or that works for someone else.
func (b *bench) notTaken(ctx context.Context) error {
	if run := b.run.Load(); run != nil {
		return fmt.Errorf("%w: %s", ErrOccupied, run.id())
	}
	return b.free(ctx)
}

// working is a context for work that Runner.Run waits for before it gives back what is owed.
func (r *Runner) working(ctx context.Context) (context.Context, func(), error) {
	r.adding.Lock()
	defer r.adding.Unlock()
	if r.life == nil || r.life.Err() != nil {
		return ctx, nil, ErrNotRunning
	}
	r.work.Add(1)
	life := r.life
	ctx, cancel := context.WithCancelCause(context.WithoutCancel(ctx))
	forget := context.AfterFunc(life, func() { cancel(context.Cause(life)) })
	return ctx, func() { forget(); cancel(nil); r.work.Done() }, nil
}

// afterFailure gives back what a write that failed left owed; the caller holds the printer. What cannot be given back now
// is when the line comes to listen next.
func (r *Runner) afterFailure(ctx context.Context, b *bench, why error) error {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), payLimit)
	defer cancel()
	return errors.Join(why, b.payHeld(ctx, retraction, inUse))
}
