package serialio

import "strconv"

// The line numbers stay within five digits, as RS274/NGC has them (NIST IR 6556, 3.3.2), and far from the end of any
// integer a firmware may keep them in.
const (
	firstBase  = 10_000
	baseRange  = 79_999 // a prime's multiple steps through all of it before one comes again
	baseStep   = 37_123
	lastNumber = 90_000
)

// bases gives out numbers to resync on.
type bases struct {
	n      int64
	wrapAt int64 // past this number the count begins anew
	prev   int64 // the base given out before
}

// fresh is a base that was not used for a long time and that differs from the line wanted now in at least three digits,
// so that no damage to one digit or two of a late reply makes it the marker. The first after opening is 0.
func (b *bases) fresh(last int64, first bool) int64 {
	if b.wrapAt == 0 {
		b.wrapAt = lastNumber
	}
	if first {
		return 0
	}
	for {
		b.n++
		base := firstBase + b.n*baseStep%baseRange
		if base+maxRun < lastNumber && digitsApart(base+1, last+1) >= 3 && digitsApart(base+1, last+2) >= 3 && digitsApart(base, b.prev) >= 3 {
			b.prev = base
			return base
		}
	}
}

// maxRun is the least number of lines that can be sent on a base before the count wraps.
const maxRun = 5_000

// digitsApart counts the digits in which two numbers differ; another length is another number.
func digitsApart(a, b int64) int {
	var roomA, roomB [20]byte
	x, y := strconv.AppendInt(roomA[:0], a, 10), strconv.AppendInt(roomB[:0], b, 10)
	if len(x) != len(y) {
		return max(len(x), len(y))
	}
	n := 0
	for i := range x {
		if x[i] != y[i] {
			n++
		}
	}
	return n
}
