package serialio

import (
	"fmt"
	"strings"
)

// verdict counts what must never be, and the one thing that may: a line obeyed with wrong content, whose checksum is
// nevertheless right.
type verdict struct {
	skipped, doubled, swapped, falselyDone, endedTwice, hung, hot int
	twins                                                         int
	told, damaged                                                 int
}

func (v verdict) bad() bool {
	return v.skipped+v.doubled+v.swapped+v.falselyDone+v.endedTwice+v.hung+v.hot > 0
}

// judge reads the wire beside the engine: what was sent, what the board obeyed, what the callers were told.
type judge struct {
	verdict
	jobs      int
	byBlock   map[string]int
	sentAs    map[int64]int // the job last sent under a number
	times     []int         // how often a job was obeyed
	fate      []Outcome
	over      []bool
	before    int // the job obeyed last
	confirmed bool
	blocks    []string
	earlyLast bool // the last job was told done before it was obeyed
}

func newJudge(jobs int) *judge {
	j := &judge{jobs: jobs, byBlock: map[string]int{}, sentAs: map[int64]int{}, times: make([]int, jobs+1),
		fate: make([]Outcome, jobs+1), over: make([]bool, jobs+1)}
	j.blocks = make([]string, jobs+1)
	for job := 1; job <= jobs; job++ {
		j.rename(job, blockOf(job))
	}
	return j
}

// rename has a job send another block than it would.
func (j *judge) rename(job int, block string) {
	delete(j.byBlock, j.blocks[job])
	j.blocks[job], j.byBlock[block] = block, job
}

// blockOf is what a job sends: different from every other job's.
func blockOf(job int) string {
	switch job % 10 {
	case 3:
		return fmt.Sprintf("M104 S%d.%d", 150+job%80, job)
	case 7:
		return fmt.Sprintf("M105 R%d", job)
	}
	return fmt.Sprintf("G1 E%d.%d F%d", job, job%7, 60+job%50)
}

// sent notes which job goes out under which number.
func (j *judge) sent(frame string) {
	body, _, _ := strings.Cut(frame, "*")
	if number, block, ok := cutNumber(body); ok {
		j.sentAs[number] = j.byBlock[block]
	}
}

// obeyed takes a line that the board obeyed: each job at most once, and in order. A text that was never sent is a
// checksum twin of what was sent under its number.
func (j *judge) obeyed(o obeyed) {
	job := j.byBlock[o.block]
	if job == 0 && !ownLine(o.block) {
		j.twins++
		job = j.sentAs[o.number]
	}
	if job == 0 {
		return
	}
	j.times[job]++
	if j.times[job] > 1 {
		j.doubled++
	}
	if job < j.before {
		j.swapped++
	}
	j.before = job
}

// ownLine reports whether the line sends it by itself.
func ownLine(block string) bool {
	switch block {
	case "M105", "M114", "M115", "M104 S0", "M140 S0":
		return true
	}
	return strings.HasPrefix(block, "M110 N")
}

// ended takes what a caller is told. Done means that the board has obeyed by now.
func (j *judge) ended(job int, o Outcome) {
	if j.over[job] {
		j.endedTwice++
	}
	j.over[job], j.fate[job] = true, o
	if o != Obeyed {
		return
	}
	j.told++
	if j.times[job] == 0 {
		j.falselyDone++
		j.earlyLast = job == j.jobs
	}
}

// stands looks at the board in the moment in which a stop counts as confirmed: nothing may be hot.
func (j *judge) stands(s *Status, b *board) {
	if s.Confirmed && !j.confirmed && (b.nozzle != 0 || b.bed != 0) {
		j.hot++
	}
	j.confirmed = s.Confirmed
}

// close gives the verdict: whoever was told done was obeyed, and everybody was told something.
func (j *judge) close(s *session) verdict {
	j.damaged = s.down.damaged + s.up.damaged
	for job := 1; job <= j.jobs; job++ {
		if !j.over[job] {
			j.hung++
		}
		if j.fate[job] == Obeyed && j.over[job] && j.times[job] == 0 {
			j.skipped++
		}
	}
	return j.verdict
}
