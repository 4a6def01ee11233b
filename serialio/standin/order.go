package standin

import (
	"fmt"
	"strconv"
)

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
		f.refuse(why)
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
	case h.summed && !h.sumRight:
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

// refuse asks for the line that is due. The ok behind it acknowledges nothing.
func (f *Firmware) refuse(why string) {
	f.diary.refused++
	f.waitAt = f.now + waitEvery
	f.say(fmt.Sprintf("Error:%s, Last Line: %d", why, f.last))
	again := "Resend: %d"
	if f.profile.ShortResend {
		again = "rs N%d"
	}
	f.say(fmt.Sprintf(again, f.last+1))
	if f.profile.ResendTwice {
		f.say(fmt.Sprintf(again, f.last+1))
	}
	if !f.profile.NoResendOK {
		f.say("ok")
	}
}

// ok ends the line in hand.
func (f *Firmware) ok() {
	f.interject()
	f.waitAt = f.now + waitEvery
	f.text = append(f.text[:0], "ok"...)
	if f.profile.OKFields {
		f.okFields()
	}
	if f.tail != "" && !f.profile.GluedOK {
		f.text = append(f.text, ' ')
	}
	f.text = append(f.text, f.tail...)
	f.tail = ""
	f.mouth.out = append(f.mouth.out, f.text...)
	f.endLine()
}

func (f *Firmware) okFields() {
	if f.reply.numbered {
		f.text = strconv.AppendInt(append(f.text, " N"...), f.reply.number, 10)
	}
	f.text = strconv.AppendInt(append(f.text, " P"...), int64(f.profile.PlannerMoves-f.planner.queued()), 10)
	f.text = strconv.AppendInt(append(f.text, " B"...), int64(f.ear.room-f.ear.used), 10)
}
