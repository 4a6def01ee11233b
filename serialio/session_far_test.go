package serialio

import (
	"bytes"
	"fmt"

	"fettle/serialio/judge"
	"fettle/serialio/standin"
)

// far is the stand-in at the far end, and what the judge is told of it.
type far struct {
	firmware *standin.Firmware
	profile  standin.Profile
	judge    *judge.Judge
	at       Mono
	deaf     Mono // it boots until then
	told     bool // it does not keep to the rules: the judge is told what it takes
	restarts bool // of its own accord
	bare     bool // it keeps no line numbers: frames are taken off before it hears a line
	resets   int
	counted  int              // of the lines in its diary that were compared
	took     []standin.Obeyed // those that were looked at last; used again
	differs  string
}

func newFar(p standin.Profile, j *judge.Judge) far {
	return far{firmware: standin.New(p), profile: p, judge: j, deaf: max(p.BootTime, 0), told: isRuleless(&p), restarts: lies(&p, standin.Restart)}
}

func (f *far) due() Mono {
	if d, any := f.firmware.Due(); any {
		return f.at + max(d, 1)
	}
	return never
}

// pass lets time pass.
func (f *far) pass(now Mono) {
	f.firmware.Advance(now - f.at)
	f.at = now
}

// hear takes what has arrived. A board that boots hears nothing.
func (f *far) hear(p []byte) {
	switch {
	case f.restarts: // what it takes from here on it takes anew
		f.noted()
	case !f.told && f.at >= f.deaf:
		f.judge.Reached(p)
	}
	if f.bare {
		p = unframed(p)
	}
	f.firmware.Hear(p)
}

// unframed takes number and checksum off the lines of a piece.
func unframed(p []byte) (out []byte) {
	for line := range bytes.Lines(p) {
		if _, block, numbered := bytes.Cut(line, []byte(" ")); numbered && line[0] == 'N' {
			line = block
		}
		line, _, _ = bytes.Cut(line, []byte("*"))
		out = append(append(out, bytes.TrimRight(line, "\n")...), '\n')
	}
	return out
}

// say is what it says now. Where no ok is in it nothing was taken, or it can be noted later.
func (f *far) say() []byte {
	said := f.firmware.Say()
	if f.told && bytes.Contains(said, []byte("ok")) {
		f.noted()
	}
	return said
}

// reset presses the button.
func (f *far) reset(now Mono) {
	f.pass(now)
	f.compare()
	f.firmware.Reset()
	f.began()
}

// began tells of a board that has begun anew by our hand.
func (f *far) began() {
	f.judge.Restarted()
	f.deaf = f.at + max(f.profile.BootTime, 0)
	f.resets++
}

// hostOpened opens the line, which resets some boards.
func (f *far) hostOpened(now Mono) {
	f.pass(now)
	if f.profile.ResetsOnOpen {
		f.compare()
		f.firmware.HostOpened()
		f.began()
	}
}

// compare lays what the judge read out of the bytes beside what the stand-in says that it obeyed, since it last began.
func (f *far) compare() {
	if f.told {
		f.noted()
	}
	if f.told || f.bare {
		return
	}
	s := f.firmware.Snapshot()
	mine := f.judge.Record()
	var theirs []standin.Obeyed
	theirs, f.counted = f.firmware.ObeyedSince(f.counted, nil)
	for i := range min(len(mine), len(theirs)) {
		if mine[i] != acceptedBy(theirs[i]) {
			f.differ(fmt.Sprintf("line %d: the judge read %+v, the stand-in %+v", i, mine[i], theirs[i]))
			return
		}
	}
	switch {
	case len(theirs) > len(mine):
		f.differ(fmt.Sprintf("the stand-in obeyed %d lines, the judge read %d: %v", len(theirs), len(mine), theirs[len(mine)]))
	case len(theirs) < len(mine) && !s.Waiting && !s.Halted:
		f.differ(fmt.Sprintf("the judge read %d lines, the stand-in obeyed %d: %v", len(mine), len(theirs), mine[len(theirs)]))
	}
}

func acceptedBy(o standin.Obeyed) judge.Accepted {
	return judge.Accepted{Number: o.Number, Numbered: o.Numbered, Text: o.Block}
}

func (f *far) differ(how string) {
	if f.differs == "" {
		f.differs = how
	}
}
