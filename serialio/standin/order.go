package standin

import "strconv"

// settle takes line after line, as long as there is one, none is in hand, and the host reads the answers.
func (f *Firmware) settle() {
	for f.finish() && !f.mouth.full() {
		h, ok := f.ear.next()
		if !ok {
			return
		}
		f.take(h)
	}
}

// take obeys a line or asks for it again.
func (f *Firmware) take(h heard) {
	if f.halted {
		f.takeHalted(h)
		return
	}
	if why := f.fault(&h); why != "" {
		if !f.liar.mayLie(atRefusal) || !f.tempt(atRefusal, moment{line: h}).dealt {
			f.refuse(why)
		}
		return
	}
	if h.numbered && f.liar.mayLie(atLine) && f.tempt(atLine, moment{line: h}).dealt {
		return
	}
	f.obey(h)
	f.answer()
}

// fault says what is wrong with the frame of a line; "" if nothing is.
func (f *Firmware) fault(h *heard) string {
	switch {
	case h.numbered && !h.summed:
		return "No Checksum with line number"
	case h.summed && !h.sumRight, h.numbered && f.stormAt > 0:
		return "checksum mismatch"
	case h.summed && !h.numbered:
		return "No Line Number with checksum"
	case h.numbered && h.number != f.last+1 && !f.mayJump(h):
		return "Line Number is not Last Line Number+1"
	}
	return ""
}

func (f *Firmware) mayJump(h *heard) bool {
	return h.block.word == "M110" && !f.profile.RefusesOddM110
}

// refuse asks for the line that is due.
func (f *Firmware) refuse(why string) {
	f.sayWhy(why, f.last)
	f.askAgain(strconv.FormatInt(f.last+1, 10))
}

func (f *Firmware) sayWhy(why string, last int64) {
	f.say("Error:" + why + ", Last Line: " + strconv.FormatInt(last, 10))
}

// askAgain asks for a line by its number. The ok behind it acknowledges nothing.
func (f *Firmware) askAgain(number string) {
	f.diary.refused++
	f.waitAt = f.now + waitEvery
	f.say(f.again() + number)
	if f.profile.ResendTwice {
		f.say(f.again() + number)
	}
	if !f.profile.NoResendOK {
		f.say("ok")
	}
}

func (f *Firmware) again() string {
	if f.profile.ShortResend {
		return "rs N"
	}
	return "Resend: "
}
