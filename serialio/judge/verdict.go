package judge

import (
	"fmt"
	"time"
)

// Verdict counts what may never be, and, behind that, what may.
type Verdict struct {
	Skipped     int // a job accepted over the head of one before it that nobody was told had failed
	Doubled     int // a job accepted twice
	Swapped     int // a job accepted behind a later one
	FalselyDone int // told done, never accepted, and not among those said to be unsure at a break
	Hung        int // submitted, and never ended
	EndedTwice  int
	Hot         int // a heater on behind a stop that was asked, or confirmed, without a caller who wanted it after that
	Stale       int // a job accepted by a board that has restarted since the job was submitted
	Loose       int // a G or M word obeyed without number and checksum that no host sent so
	Ungrammatic int // a line that left the host outside the closed grammar
	Uncooled    int // a fault that was heard and not followed by both heaters off

	Twins   int // accepted under its number with another text: number and checksum were right
	Tools   int // a tool's word made of nothing: a star that became a line end, and behind it a digit that became a T
	Jobs    int // jobs accepted, each time
	TwinJob int // of them, as twins
	Early   int // told done before it was accepted, as far as the wire shows
	Excused int // told done, never accepted, and said to be unsure
	Told    int // jobs told done
	Taken   int // lines accepted
	Turned  int // lines refused

	SlowestCool time.Duration // from a fault that was heard to the second heater's off
	Findings    []string      // the first few, in words
}

// Bad reports whether anything was that may never be.
func (v *Verdict) Bad() bool {
	return v.Skipped+v.Doubled+v.Swapped+v.FalselyDone+v.Hung+v.EndedTwice+v.Hot+v.Stale+v.Loose+v.Ungrammatic+v.Uncooled > 0
}

// Add sums two verdicts.
func (v *Verdict) Add(o Verdict) {
	for i, n := range o.counts() {
		*v.counts()[i] += *n
	}
	v.SlowestCool = max(v.SlowestCool, o.SlowestCool)
	v.Findings = append(v.Findings, o.Findings[:min(len(o.Findings), max(0, mostFindings-len(v.Findings)))]...)
}

func (v *Verdict) counts() [20]*int {
	return [...]*int{&v.Skipped, &v.Doubled, &v.Swapped, &v.FalselyDone, &v.Hung, &v.EndedTwice, &v.Hot, &v.Stale, &v.Loose,
		&v.Ungrammatic, &v.Uncooled, &v.Twins, &v.Tools, &v.Jobs, &v.TwinJob, &v.Early, &v.Excused, &v.Told, &v.Taken, &v.Turned}
}

const mostFindings = 8

// condemn counts one thing that may never be, and keeps the first few in words.
func (j *Judge) condemn(count *int, format string, args ...any) {
	*count++
	if len(j.verdict.Findings) < mostFindings {
		j.verdict.Findings = append(j.verdict.Findings, fmt.Sprintf(format, args...))
	}
}

// Close gives the verdict: whoever was told done was obeyed, and everybody was told something.
func (j *Judge) Close() Verdict {
	v := &j.verdict
	for job := 1; job < len(j.fates); job++ {
		f := &j.fates[job]
		switch {
		case f.submitted && !f.ended:
			j.condemn(&v.Hung, "job %d, %s, never ended", job, j.plan.Block(job))
		case f.done && f.times == 0 && f.excused:
			v.Excused++
		case f.done && f.times == 0:
			j.condemn(&v.FalselyDone, "job %d, %s, was told done and was never accepted", job, j.plan.Block(job))
		}
	}
	if j.fault.nozzle || j.fault.bed {
		j.condemn(&v.Uncooled, "a fault was heard, and a heater was not told to go off")
	}
	return *v
}
