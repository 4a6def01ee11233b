package serialio

import (
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
	used     int  // bytes of its receive buffer, at most
	resets   int
	counted  int // of the lines in its diary that were compared
	differs  string
}

func newFar(p standin.Profile, j *judge.Judge) far {
	return far{firmware: standin.New(p), profile: p, judge: j, deaf: max(p.BootTime, 0), told: isRuleless(&p)}
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
	case f.told:
		f.noted()
		f.firmware.Hear(p)
		f.noted()
	case f.at < f.deaf:
		f.firmware.Hear(p)
	case f.fits(len(p)):
		f.judge.Reached(p)
		f.firmware.Hear(p)
	default:
		f.hearEach(p)
	}
}

// fits reports whether so many bytes surely find room in the board's receive buffer.
func (f *far) fits(n int) bool {
	if f.used += n; f.used <= f.profile.ReceiveBytes {
		return true
	}
	if s := f.firmware.Snapshot(); !s.Waiting { // it has looked at every whole line; of one more it has a part
		f.used = partBytes + n
	}
	return f.used <= f.profile.ReceiveBytes
}

// partBytes is the longest part of a line that a board may have.
const partBytes = 96

// hearEach takes bytes one by one. One that finds no room has not reached the board.
func (f *far) hearEach(p []byte) {
	lost := f.firmware.Snapshot().LostBytes
	for i := range p {
		f.firmware.Hear(p[i : i+1])
		now := f.firmware.Snapshot().LostBytes
		if now == lost {
			f.judge.Reached(p[i : i+1])
		}
		lost = now
	}
}

// say is what it says now. A long piece is of a flood, during which nothing is taken.
func (f *far) say() []byte {
	said := f.firmware.Say()
	if n := len(said); n > 0 && n < 512 {
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
	f.used = 0
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
		return
	}
	s := f.firmware.Snapshot()
	mine := f.judge.Record()
	theirs := s.Obeyed[len(s.Obeyed)-min(len(s.Obeyed), s.ObeyedTotal-f.counted):]
	f.counted = s.ObeyedTotal
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
