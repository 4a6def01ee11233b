package standin

import "strconv"

// ok ends the line in hand.
func (f *Firmware) ok() {
	f.interject()
	f.waitAt = f.now + waitEvery
	if f.early {
		f.sayTail()
		return
	}
	text := f.okText()
	if f.tail != "" && !f.profile.GluedOK {
		text = append(text, ' ')
	}
	text = append(text, f.tail...)
	f.text, f.tail = text, ""
	if !f.mute && f.liar.mayLie(atOK) {
		text = f.tempt(atOK, moment{text: text}).text
	}
	if text != nil {
		f.sayText(text)
	}
}

// sayTail says alone what should have stood behind an ok that has been said.
func (f *Firmware) sayTail() {
	if f.tail != "" {
		f.say(f.tail)
	}
	f.early, f.tail = false, ""
}

// okText is the ok with its fields; the next one takes its memory.
func (f *Firmware) okText() []byte {
	text := append(f.text[:0], "ok"...)
	if !f.profile.OKFields {
		return text
	}
	if f.reply.numbered {
		text = strconv.AppendInt(append(text, " N"...), f.reply.number, 10)
	}
	text = strconv.AppendInt(append(text, " P"...), int64(f.profile.PlannerMoves-f.planner.queued()), 10)
	return strconv.AppendInt(append(text, " B"...), int64(f.ear.room-f.ear.used), 10)
}
