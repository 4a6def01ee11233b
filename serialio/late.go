package serialio

import "time"

// mostLate is how late a timer may fire while the computer keeps up with its work.
const mostLate = 50 * time.Millisecond

// graceFor is how long to wait once more for a timer that fired so late. Somebody was silent then, and as likely it was
// us: a computer that could not run this program for so long has not read the port either, and what the printer said
// meanwhile is still on its way here.
func graceFor(late Mono) Mono {
	if late < mostLate {
		return 0
	}
	return min(2*late, shortest)
}
