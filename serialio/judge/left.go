package judge

import (
	"bytes"
	"time"
)

// frame is a line that has left the host under a number. Its text lies in the judge's.
type frame struct {
	number   int64
	from, to int
	job      int // 0: the host's own
}

// lines cuts bytes into lines.
type lines struct {
	open   []byte
	killed bool // M112 has left without a frame
}

func (l *lines) forget() { l.open = l.open[:0] }

func (l *lines) cut(p []byte, each func(line []byte)) {
	for len(p) > 0 {
		i := bytes.IndexByte(p, '\n')
		if i < 0 {
			l.open = append(l.open, p...)
			return
		}
		if len(l.open) == 0 {
			each(p[:i])
		} else {
			l.open = append(l.open, p[:i]...)
			each(l.open)
			l.open = l.open[:0]
		}
		p = p[i+1:]
	}
}

// Left is bytes that have left the host.
func (j *Judge) Left(at time.Duration, p []byte) {
	j.host.cut(p, func(line []byte) { j.sent(at, line) })
}

func (j *Judge) sent(at time.Duration, line []byte) {
	if len(line) == 0 {
		return
	}
	if string(line) == "M112" {
		j.host.killed = true
		return
	}
	r := read(line)
	if why := outside(line, r); why != "" {
		j.condemn(&j.verdict.Ungrammatic, "%q left: %s", line, why)
		return
	}
	f := frame{number: r.number, from: len(j.text), job: j.plan.byText[string(r.text)]}
	j.text = append(j.text, r.text...)
	f.to = len(j.text)
	j.frames = append(j.frames, f)
	j.cools(at, r.text)
	if len(j.owed) > 0 {
		j.settle(f)
	}
}

// outside says why a line may not leave a host; "" if it may.
func outside(line []byte, r reading) string {
	if len(line) > lineBytes {
		return "longer than 96 bytes"
	}
	if !r.numbered || !r.sumRight {
		return "no number and checksum"
	}
	for _, c := range line {
		capital, digit := c >= 'A' && c <= 'Z', c >= '0' && c <= '9'
		if !capital && !digit && c != ' ' && c != '.' && c != '-' && c != '*' {
			return "a byte that no line needs"
		}
	}
	switch word, _ := wordOf(r.text); {
	case !deed(word):
		return "no word"
	case word == "M109" || word == "M190" || word == "G4":
		return "a word that blocks"
	}
	return ""
}

// frameOf is the frame that left last under a number, in the line count that is in force at the board; -1: none did.
func (j *Judge) frameOf(number int64) int {
	for i := len(j.frames) - 1; i >= j.floor; i-- {
		if j.frames[i].number == number {
			return i
		}
	}
	return -1
}

func (j *Judge) textOf(i int) []byte { return j.text[j.frames[i].from:j.frames[i].to] }
