package serialio

// maxBlock is the longest block that is sent: with number and checksum it stays under the 96 bytes that a firmware need
// take.
const maxBlock = 76

// maxQueue is how many blocks wait in the engine. More callers wait outside, where they can still turn back.
const maxQueue = 16

// queue is the blocks that wait, in order. It has all its room from the start.
type queue struct {
	jobs  [maxQueue]waitingJob
	first int
	n     int
}

type waitingJob struct {
	job   uint32
	n     int
	block [maxBlock]byte
}

func (q *queue) full() bool { return q.n == maxQueue }

func (q *queue) push(job uint32, block []byte) {
	w := &q.jobs[(q.first+q.n)%maxQueue]
	w.job, w.n = job, copy(w.block[:], block)
	q.n++
}

// pop takes the next job. One without a caller was withdrawn and is passed over.
func (q *queue) pop() *waitingJob {
	for q.n > 0 {
		w := &q.jobs[q.first]
		q.first, q.n = (q.first+1)%maxQueue, q.n-1
		if w.job != 0 {
			return w
		}
	}
	return nil
}

// withdraw takes a job out, if it is still there.
func (q *queue) withdraw(job uint32) bool {
	for i := range q.n {
		if w := &q.jobs[(q.first+i)%maxQueue]; w.job == job {
			w.job = 0
			return true
		}
	}
	return false
}

// sendable reports whether a text is one printed block: bytes that a comment, a second line or a checksum of its own
// need are not among them, nor small letters, which would spoil what the checksum can promise about lost bytes.
func sendable(block []byte) bool {
	if len(block) < 2 || len(block) > maxBlock {
		return false
	}
	if c := block[0]; c != 'G' && c != 'M' && c != 'T' {
		return false
	}
	for _, c := range block {
		letter, digit := c >= 'A' && c <= 'Z', c >= '0' && c <= '9'
		if !letter && !digit && c != ' ' && c != '.' && c != '-' {
			return false
		}
	}
	return true
}

// submit takes a block from a caller.
func (e *Engine) submit(job uint32, block []byte) {
	switch {
	case !sendable(block):
		e.end(job, BadBlock, "")
	case e.status.State != Listening:
		e.end(job, Unsent, e.status.Why)
	case e.queue.full():
		e.end(job, Unsent, "too many lines wait")
	default:
		e.queue.push(job, block)
		e.next()
	}
}

// withdraw lets a caller go. A block that waits is taken out; a line in flight is awaited all the same.
func (e *Engine) withdraw(job uint32) {
	switch {
	case job == 0:
	case e.queue.withdraw(job):
		e.end(job, Withdrawn, "")
	case e.flight.job == job:
		e.flight.job = 0
		e.end(job, Unattended, "")
	}
}

// endAll ends the line in flight and everything that waits.
func (e *Engine) endAll(o Outcome, why string) {
	e.endFlight(o, why)
	e.endQueue(o, why)
}

func (e *Engine) endQueue(o Outcome, why string) {
	for w := e.queue.pop(); w != nil; w = e.queue.pop() {
		e.end(w.job, o, why)
	}
}

// endFlight tells the caller of the line in flight, if one still waits. A line is ended once.
func (e *Engine) endFlight(o Outcome, why string) {
	if job := e.flight.job; job != 0 {
		e.flight.job = 0
		e.end(job, o, why)
	}
}

// end tells a caller. What the printer said goes along where it answered.
func (e *Engine) end(job uint32, o Outcome, why string) {
	effect := Effect{Do: End, Job: job, Outcome: o, Why: why}
	if o == Obeyed || o == Refused {
		effect.Text, effect.Doubtful = e.said.text, e.said.doubtful
	}
	e.out = append(e.out, effect)
}
