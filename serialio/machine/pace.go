package machine

import "time"

// A move is at most so long, and at most so much of moves is ahead of what the printer has done, in printer time.
const (
	pieceFor = 2 * time.Second
	aheadFor = 4 * time.Second
)

// pace knows when the moves that were sent will have ended. It errs on the late side: a move begins at the latest when
// the printer has accepted it or when the one before has ended.
type pace struct{ ends time.Duration }

// wait is how long to wait before a move of that length may be sent.
func (p *pace) wait(now, lasts time.Duration) time.Duration {
	return max(0, p.ends+lasts-aheadFor-now)
}

// queued notes a move that was accepted at now.
func (p *pace) queued(now, lasts time.Duration) { p.ends = max(p.ends, now) + lasts }

// aheadOf is how much of the moves is still to be done.
func (p *pace) aheadOf(now time.Duration) time.Duration { return max(0, p.ends-now) }
