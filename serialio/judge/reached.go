package judge

// Reached is bytes that have reached the board, as they came.
func (j *Judge) Reached(p []byte) {
	if j.board.rules.Told {
		return
	}
	for _, c := range p {
		if line, whole := j.board.hear(c); whole && !j.board.halted {
			j.weigh(read(line))
		}
	}
}

// weigh decides by the rules whether a line is taken, and whose it was.
func (j *Judge) weigh(r reading) {
	b := &j.board
	word, rest := wordOf(r.text)
	kills := word == "M112" && !b.rules.InTurn && (!r.summed || r.sumRight)
	if !kills && !b.accepts(r, word) {
		j.verdict.Turned++
		return
	}
	j.record = append(j.record, Accepted{r.number, r.numbered, j.keep(r)})
	j.took(r, word, rest)
}

// Took is a line that the board took, right or not, where that is told.
func (j *Judge) Took(a Accepted) {
	r := reading{number: a.Number, numbered: a.Numbered, text: []byte(a.Text)}
	word, rest := wordOf(r.text)
	j.took(r, word, rest)
}

func (j *Judge) took(r reading, word string, rest []byte) {
	b := &j.board
	j.verdict.Taken++
	j.accepted(r, word)
	nozzle, bed := b.nozzle, b.bed
	b.obey(r, word, rest)
	if b.nozzle > nozzle || b.bed > bed {
		j.heated(r)
	}
}

// accepted finds out whose line was taken: that of the frame which left last under its number.
func (j *Judge) accepted(r reading, word string) {
	if !r.numbered {
		j.loose(r, word)
		return
	}
	i := j.frameOf(r.number)
	if i < 0 {
		j.owed = append(j.owed, owed{r.number, string(r.text)})
		return
	}
	j.compare(j.frames[i], string(r.text))
	if word == "M110" {
		j.floor, j.owed = i, j.owed[:0]
	}
	j.credit(j.frames[i].job)
}

// loose looks at a line without a frame.
func (j *Judge) loose(r reading, word string) {
	switch {
	case !deed(word), word == "M112" && j.host.killed:
	case word[0] == 'T':
		j.verdict.Tools++
	default:
		j.condemn(&j.verdict.Loose, "%q was obeyed without number and checksum", r.text)
	}
}

// compare lays a text that was taken beside the one that left.
func (j *Judge) compare(f frame, text string) {
	if string(j.text[f.from:f.to]) == text {
		return
	}
	j.verdict.Twins++
	if f.job != 0 {
		j.verdict.TwinJob++
	}
}

// owed is a number that was taken before any line had left under it: another line's twin. Whoever is sent under it later
// will be told that it was obeyed.
type owed struct {
	number int64
	text   string
}

// settle gives a number that was taken too early to the line that now leaves under it.
func (j *Judge) settle(f frame) {
	for i, o := range j.owed {
		if o.number == f.number {
			j.owed = append(j.owed[:i], j.owed[i+1:]...)
			j.compare(f, o.text)
			j.credit(f.job)
			return
		}
	}
}

// credit counts that a job was taken; 0 is the host's own.
func (j *Judge) credit(job int) {
	if job == 0 {
		return
	}
	v, f := &j.verdict, &j.fates[job]
	f.times++
	v.Jobs++
	switch {
	case f.times > 1:
		j.condemn(&v.Doubled, "job %d, %s, was accepted %d times", job, j.plan.Block(job), f.times)
	case job < j.last:
		j.condemn(&v.Swapped, "job %d, %s, was accepted behind job %d", job, j.plan.Block(job), j.last)
	}
	if f.life != j.life {
		j.condemn(&v.Stale, "job %d, %s, was accepted by a board that had restarted since", job, j.plan.Block(job))
	}
	j.leapt(job)
	j.last = max(j.last, job)
}

// leapt looks at the jobs before one that was taken: each was taken, or its caller was told that it was not, or may not
// have been.
func (j *Judge) leapt(job int) {
	for i := j.last + 1; i < job; i++ {
		f := &j.fates[i]
		if f.submitted && f.times == 0 && (!f.ended || f.done && !f.excused) {
			j.condemn(&j.verdict.Skipped, "job %d, %s, was passed over by job %d", i, j.plan.Block(i), job)
		}
	}
}

// heated looks at a target that rose: somebody must have wanted it since the heaters were last said to be off. A checksum
// twin is nobody's wish.
func (j *Judge) heated(r reading) {
	i := j.frameOf(r.number)
	if i < 0 || string(j.textOf(i)) != string(r.text) {
		return
	}
	if job := j.frames[i].job; job == 0 || j.fates[job].offs != j.offs {
		j.condemn(&j.verdict.Hot, "%s was accepted after the heaters were said to be off", r.text)
	}
}

// keep makes a text last without a new string where it is one that is known.
func (j *Judge) keep(r reading) string {
	if job := j.plan.byText[string(r.text)]; job != 0 {
		return j.plan.Block(job)
	}
	return string(r.text)
}
