// Package judge is an independent judge of one printer's line, for tests alone. It is told what went over the wire, what
// befell the board and what callers were told, and says what was done wrong.
//
// Owns: its own reading of the dialect (N<number> <block>*<sum>, the sum an XOR of all bytes before the star; after line n
// comes n+1; M110 says what n is), and the list of what may never be.
// Guarantees: it shares no code with the program it judges, nor with the printer at the far end; the same calls give the
// same verdict; whatever bytes it is given, it ends.
// Does not do: answer, repair, or know what a word means beyond M110, M112, M104 and M140.
// Read next: verdict.go (what may never be), rules.go (what a board accepts), left.go (what may leave a host).
package judge

import "time"

// A Plan is what callers will want sent: job i+1 has block i, and no two blocks are alike. It can serve many judges.
type Plan struct {
	blocks []string
	byText map[string]int
}

// NewPlan makes a plan of blocks.
func NewPlan(blocks []string) *Plan {
	p := &Plan{blocks: blocks, byText: make(map[string]int, len(blocks))}
	for i, b := range blocks {
		p.byText[b] = i + 1
	}
	return p
}

// Block is what a job wants sent.
func (p *Plan) Block(job int) string { return p.blocks[job-1] }

// Jobs is how many there are.
func (p *Plan) Jobs() int { return len(p.blocks) }

// A Judge hears one conversation. Times are monotonic, and only compared with each other.
type Judge struct {
	plan    *Plan
	board   board
	host    lines  // what left, cut into lines
	back    lines  // what came back, cut into lines
	text    []byte // of all frames that left
	frames  []frame
	floor   int    // of frames: those before it left before the line count that is in force
	fates   []fate // by job
	order   []int  // jobs told done since the last break, in order
	last    int    // the job that was accepted last
	owed    []owed // accepted numbers that had not left yet
	life    int    // how often the board has begun
	offs    int    // how often it was confirmed that the heaters are off
	fault   faultWatch
	verdict Verdict
	record  []Accepted // in the board's present life
}

// fate is what became of a job.
type fate struct {
	life, offs  int // those of the moment it was submitted in
	submitted   bool
	times       int // how often a board accepted it
	ended, done bool
	excused     bool // it was said at a break that it may not have been obeyed
}

// New begins to judge. A board that sets its line number only in turn must be said to be Ordered.
func New(p *Plan, r Rules) *Judge {
	return &Judge{plan: p, board: board{rules: r}, fates: make([]fate, p.Jobs()+1)}
}

// Submitted is a caller who wants a job done.
func (j *Judge) Submitted(job int) {
	f := &j.fates[job]
	f.submitted, f.life, f.offs = true, j.life, j.offs
}

// Told is a caller who is told how a job ended.
func (j *Judge) Told(job int, done bool) {
	f := &j.fates[job]
	if f.ended {
		j.condemn(&j.verdict.EndedTwice, "job %d was ended twice", job)
	}
	f.ended, f.done = true, f.done || done
	if !done {
		return
	}
	j.verdict.Told++
	if f.times == 0 && !j.board.rules.Told { // what is told is told a little later
		j.verdict.Early++
	}
	j.order = append(j.order, job)
}

// Broke is the end of a conversation, behind which the last unsure jobs told done may not have been obeyed, as far as
// anybody was told.
func (j *Judge) Broke(unsure int) {
	for _, job := range j.order[max(0, len(j.order)-unsure):] {
		j.fates[job].excused = true
	}
	j.order = j.order[:0]
}

// Confirmed is a person who is told that every heater is off.
func (j *Judge) Confirmed() {
	j.offs++
	if j.board.nozzle != 0 || j.board.bed != 0 {
		j.condemn(&j.verdict.Hot, "the stop was confirmed while the targets were %v and %v", j.board.nozzle, j.board.bed)
	}
}

// Restarted is a board that has begun anew: nothing that it had heard is left, and it counts from 0.
func (j *Judge) Restarted() {
	j.life++
	j.record = j.record[:0]
	j.board.restart()
	j.owed = j.owed[:0]
}

// Counted is a board whose line count was moved by nothing that it heard.
func (j *Judge) Counted(last int64) { j.board.last = last }

// Unplugged is the end of the port. What is half said stays half said, on the board's side.
func (j *Judge) Unplugged() { j.host.forget(); j.back.forget() }

// Record is what was accepted since the board began, in order. It is good until the next call of anything.
func (j *Judge) Record() []Accepted { return j.record }

// Targets are the heaters' in degrees C, as far as the board was told.
func (j *Judge) Targets() (nozzleC, bedC float64) { return j.board.nozzle, j.board.bed }

// Times is how often a job was accepted.
func (j *Judge) Times(job int) int { return j.fates[job].times }

// faultWatch waits for both heaters to be told to go off, once a fault has been heard.
type faultWatch struct {
	at          time.Duration
	nozzle, bed bool // still awaited
}
