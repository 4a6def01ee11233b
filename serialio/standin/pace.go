package standin

import (
	"bytes"
	"time"
)

// Pace is how fast a line and the board at its end are. The zero Pace takes no time.
type Pace struct {
	Baud       int           // bit/s, each way; a byte takes 10 bits
	TurnAround time.Duration // the board's work on each line before it hears it; one line after the other
}

func (p Pace) none() bool { return p == Pace{} }

// lane carries bytes one way, one after the other. Its times are computed from the beginning of a burst, so that no
// error adds up, however late anybody looks.
type lane struct {
	baud  int
	begun time.Duration // of the burst
	count int64         // bytes since
}

// carry takes n bytes on at a time, and tells when the last of them arrives.
func (l *lane) carry(now time.Duration, n int) time.Duration {
	if now > l.free() {
		l.begun, l.count = now, 0
	}
	l.count += int64(n)
	return l.free()
}

// free is when all has arrived. As many bytes as the baud rate has bits take 10 s, exactly.
func (l *lane) free() time.Duration {
	if l.baud <= 0 {
		return l.begun
	}
	rate := int64(l.baud)
	l.begun += 10 * time.Second * time.Duration(l.count/rate)
	l.count %= rate
	return l.begun + 10*time.Second*time.Duration(l.count)/time.Duration(rate)
}

// road is the way of bytes from a host to a board at a pace.
type road struct {
	lane
	work  time.Duration // per line
	ready time.Duration // from when on the board has nothing to do
	queue []parcel
	held  int // bytes in queue
}

// parcel is a line, or a part of one, and when the board hears it.
type parcel struct {
	bytes []byte
	at    time.Duration
}

func newRoad(p Pace) road { return road{lane: lane{baud: p.Baud}, work: p.TurnAround} }

// roadBytes is how much may be under way; beyond it the host waits.
const roadBytes = 4 << 10

func (r *road) full() bool { return r.held >= roadBytes }

// send takes bytes on. It keeps a copy.
func (r *road) send(now time.Duration, p []byte) {
	for line := range bytes.SplitAfterSeq(p, []byte{'\n'}) {
		if len(line) == 0 {
			continue
		}
		r.ready = max(r.carry(now, len(line)), r.ready)
		if line[len(line)-1] == '\n' {
			r.ready += r.work
		}
		r.queue = append(r.queue, parcel{bytes.Clone(line), r.ready})
		r.held += len(line)
	}
}

// due is when the next bytes arrive, and false if none are under way.
func (r *road) due() (time.Duration, bool) {
	if len(r.queue) == 0 {
		return 0, false
	}
	return r.queue[0].at, true
}

// receive gives what has arrived of the oldest parcel, as much as fits.
func (r *road) receive(now time.Duration, into []byte) int {
	if at, any := r.due(); !any || at > now {
		return 0
	}
	head := &r.queue[0]
	n := copy(into, head.bytes)
	r.held -= n
	if head.bytes = head.bytes[n:]; len(head.bytes) == 0 {
		r.queue = r.queue[1:]
	}
	return n
}
