package standin

import "time"

// waitEvery is how often a board that does so says that it is idle.
const waitEvery = time.Second

// unaskedDue is when the board next says something by itself.
func (f *Firmware) unaskedDue() time.Duration {
	return min(f.busyDue(), f.reportDue(), f.remarkDue(), f.idleDue(), f.liarDue())
}

func (f *Firmware) busyDue() time.Duration {
	if f.wait == nil || f.profile.BusyEvery < 0 {
		return idle
	}
	return f.busyAt
}

// reportDue is the time of the next temperature line that nobody asks for.
func (f *Firmware) reportDue() time.Duration {
	if f.reportEvery == 0 || f.deaf() {
		return idle
	}
	return f.reportAt
}

func (f *Firmware) remarkDue() time.Duration {
	if f.profile.RemarksEvery <= 0 || f.deaf() {
		return idle
	}
	return f.chatter.at
}

// idleDue is the time of the next "wait".
func (f *Firmware) idleDue() time.Duration {
	if !f.profile.WaitsAloud || f.wait != nil || f.deaf() {
		return idle
	}
	return f.waitAt
}

// report says what is due by itself: that a line takes long, temperatures, remarks, that it is idle.
func (f *Firmware) report() {
	if f.now >= f.busyDue() {
		f.remark(f.busy())
		f.busyAt = f.now + f.profile.BusyEvery
	}
	if f.now >= f.reportDue() {
		f.remark(" " + f.temperatures())
		f.reportAt = f.now + f.reportEvery
	}
	if f.now >= f.remarkDue() {
		f.remark(f.chatter.next())
		f.chatter.after(f.now, f.profile.RemarksEvery)
	}
	if f.now >= f.idleDue() {
		f.remark("wait")
		f.waitAt = f.now + waitEvery
	}
	if f.now >= f.liarDue() {
		f.muse()
	}
}

func (f *Firmware) busy() string {
	if f.profile.BareBusy {
		return "busy: processing"
	}
	return "echo:busy: processing"
}
