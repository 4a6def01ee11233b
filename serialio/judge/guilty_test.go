package judge

import (
	"fmt"
	"testing"
	"time"
)

// blocks are the jobs of the made-up conversations below.
var blocks = []string{"G1 X1 F600", "M104 S200", "G1 X3 F600", "M400"}

// framed is a line as it should be, its sum reckoned here.
func framed(number int, block string) string {
	body := fmt.Sprintf("N%d %s", number, block)
	sum := 0
	for _, c := range []byte(body) {
		sum ^= int(c)
	}
	return fmt.Sprintf("%s*%d\n", body, sum)
}

// wire is a conversation made up by hand.
type wire struct {
	*Judge
	at time.Duration
}

func newWire() *wire { return &wire{Judge: New(NewPlan(blocks), Rules{})} }

// over sends a line that arrives as it left.
func (w *wire) over(line string) {
	w.leaves(line)
	w.Reached([]byte(line))
}

func (w *wire) leaves(line string) {
	w.at += time.Millisecond
	w.Left(w.at, []byte(line))
}

// job submits a job, has it obeyed under a number, and tells its caller.
func (w *wire) job(job, number int) {
	w.Submitted(job)
	w.over(framed(number, blocks[job-1]))
	w.Told(job, true)
}

// guilty are conversations in which one thing is wrong, and how often the verdict must say so.
var guilty = map[string]struct {
	play func(w *wire)
	find func(v Verdict) int
}{
	"told done, never obeyed": {func(w *wire) {
		w.Submitted(1)
		w.leaves(framed(1, blocks[0]))
		w.Told(1, true)
	}, func(v Verdict) int { return v.FalselyDone }},
	"told done, and only the next one said to be unsure": {func(w *wire) {
		w.Submitted(1)
		w.leaves(framed(1, blocks[0]))
		w.Told(1, true)
		w.job(2, 1)
		w.Broke(1)
	}, func(v Verdict) int { return v.FalselyDone }},
	"obeyed twice, under two numbers": {func(w *wire) {
		w.job(1, 1)
		w.over(framed(2, blocks[0]))
	}, func(v Verdict) int { return v.Doubled }},
	"the second before the first": {func(w *wire) {
		w.Submitted(1)
		w.Submitted(2)
		w.over(framed(1, blocks[1]))
		w.over(framed(2, blocks[0]))
		w.Told(1, true)
		w.Told(2, true)
	}, func(v Verdict) int { return v.Swapped }},
	"one passed over": {func(w *wire) {
		w.Submitted(1)
		w.Submitted(3)
		w.over(framed(1, blocks[2]))
		w.Told(1, false)
		w.Told(3, true)
	}, func(v Verdict) int { return v.Skipped }},
	"never ended": {func(w *wire) { w.Submitted(1) }, func(v Verdict) int { return v.Hung }},
	"ended twice": {func(w *wire) {
		w.job(1, 1)
		w.Told(1, false)
	}, func(v Verdict) int { return v.EndedTwice }},
	"hot where off was confirmed": {func(w *wire) {
		w.job(2, 1)
		w.Confirmed()
	}, func(v Verdict) int { return v.Hot }},
	"heated behind a confirmed stop": {func(w *wire) {
		w.Submitted(2)
		w.Confirmed()
		w.over(framed(1, blocks[1]))
		w.Told(2, false)
	}, func(v Verdict) int { return v.Hot }},
	"moved by a board that has restarted": {func(w *wire) {
		w.Submitted(1)
		w.Restarted()
		w.over(framed(1, blocks[0]))
		w.Told(1, true)
	}, func(v Verdict) int { return v.Stale }},
	"a word without its frame": {func(w *wire) { w.Reached([]byte("M104 S200\n")) }, func(v Verdict) int { return v.Loose }},
	"small letters":            {func(w *wire) { w.leaves(framed(1, "g1 X1")) }, func(v Verdict) int { return v.Ungrammatic }},
	"too long":                 {func(w *wire) { w.leaves(framed(1, fmt.Sprintf("G1 X%090d", 1))) }, func(v Verdict) int { return v.Ungrammatic }},
	"M109":                     {func(w *wire) { w.leaves(framed(1, "M109 S200")) }, func(v Verdict) int { return v.Ungrammatic }},
	"M190":                     {func(w *wire) { w.leaves(framed(1, "M190 S60")) }, func(v Verdict) int { return v.Ungrammatic }},
	"G4":                       {func(w *wire) { w.leaves(framed(1, "G4 S1")) }, func(v Verdict) int { return v.Ungrammatic }},
	"no frame":                 {func(w *wire) { w.leaves("G28\n") }, func(v Verdict) int { return v.Ungrammatic }},
	"a wrong sum":              {func(w *wire) { w.leaves("N1 G28*1\n") }, func(v Verdict) int { return v.Ungrammatic }},
	"a fault, and the bed left on": {func(w *wire) {
		w.Came(time.Second, []byte("Error:Thermal Runaway, system stopped! Heater_ID: 0\n"))
		w.leaves(framed(1, "M104 S0"))
	}, func(v Verdict) int { return v.Uncooled }},
}

// A judge that cannot condemn is worth nothing: each made-up guilty wire is condemned for what it did.
func TestGuiltyWires(t *testing.T) {
	for name, c := range guilty {
		w := newWire()
		c.play(w)
		v := w.Close()
		if !v.Bad() || c.find(v) != 1 || len(v.Findings) == 0 {
			t.Errorf("%s: %+v", name, v)
		}
	}
}

// innocent are conversations of which nothing may be said.
var innocent = map[string]func(w *wire){
	"plain": func(w *wire) {
		w.over(framed(0, "M110 N0"))
		for job := 1; job <= len(blocks); job++ {
			w.job(job, job)
		}
	},
	"sent again, obeyed once": func(w *wire) {
		w.Submitted(1)
		w.over(framed(1, blocks[0]))
		w.over(framed(1, blocks[0]))
		w.Told(1, true)
	},
	"lost, and said to be unsure": func(w *wire) {
		w.Submitted(1)
		w.leaves(framed(1, blocks[0]))
		w.Told(1, true)
		w.Broke(1)
	},
	"lost, and told so": func(w *wire) {
		w.Submitted(1)
		w.leaves(framed(1, blocks[0]))
		w.Told(1, false)
		w.over(framed(900, "M110 N900"))
		w.job(2, 901)
	},
	"heated again by a person": func(w *wire) {
		w.Confirmed()
		w.job(2, 1)
	},
	"killed": func(w *wire) {
		w.over("\nM112\n")
		w.over(framed(1, "M104 S0"))
	},
	"a fault, cooled": func(w *wire) {
		w.Came(time.Second, []byte("Error:MAXTEMP trig"))
		w.Came(time.Second, []byte("gered: system stopped!\n"))
		w.leaves(framed(1, "M104 S0"))
		w.leaves(framed(2, "M140 S0"))
	},
}

func TestInnocentWires(t *testing.T) {
	for name, play := range innocent {
		w := newWire()
		play(w)
		if v := w.Close(); v.Bad() || v.Twins != 0 {
			t.Errorf("%s: %+v", name, v)
		}
	}
}

// A twin has its number and its sum and another text. It is counted, and the line that it stands for was obeyed.
func TestTwins(t *testing.T) {
	w := newWire()
	w.Submitted(1)
	w.leaves(framed(1, blocks[0]))
	w.Reached([]byte("N1 G1 X0 F700*" + framed(1, blocks[0])[14:])) // two flips of the same column
	w.Told(1, true)
	if v := w.Close(); v.Twins != 1 || v.Bad() {
		t.Errorf("%+v", v)
	}
	early := newWire()
	early.over(framed(0, "M110 N0"))
	early.Submitted(1)
	early.Reached([]byte(framed(1, "G1 X9"))) // before line 1 has left
	early.leaves(framed(1, blocks[0]))
	early.Told(1, true)
	if v := early.Close(); v.Twins != 1 || v.Bad() {
		t.Errorf("early: %+v", v)
	}
}
