package standin

// outOfBand obeys the three words that may not wait for their turn, as soon as their line is complete. The line stays
// in the buffer and is answered when its turn comes.
func (f *Firmware) outOfBand(h *heard) {
	if f.profile.NoEmergency || f.halted || h.summed && !h.sumRight {
		return
	}
	switch h.block.word {
	case "M108":
		f.breakWait()
	case "M112":
		f.diary.note(*h)
		f.halt()
	case "M410":
		f.stopMoves()
	}
}

// breakWait ends a wait for heat; the target stays.
func (f *Firmware) breakWait() {
	if f.wait != nil && f.wait.heats {
		f.await(wait{over: func(*Firmware) bool { return true }, until: idle})
	}
}

// halt is the end until a reset: heaters off, motors off, no word obeyed.
func (f *Firmware) halt() {
	f.stopMoves()
	f.heaters = newHeaters()
	f.world.power = [2]float64{}
	f.wait = nil
	f.ear = ear{room: f.ear.room}
	f.reportEvery = 0
	f.say("Error:Printer halted. kill() called!")
	f.halted = true
}

func kill(f *Firmware, _ block) { f.halt() }

// takeHalted hears one word alone, whatever its number.
func (f *Firmware) takeHalted(h heard) {
	if h.block.word == "M999" && !f.profile.Deaf999 && (!h.summed || h.sumRight) {
		f.Reset()
	}
}

func restart(f *Firmware, _ block) { f.Reset() }

// quickStop in its turn finds the work already done where M410 is obeyed out of band.
func quickStop(f *Firmware, _ block) {
	if f.profile.NoEmergency {
		f.stopMoves()
	}
}

// breakOff lets the move under way count for as far as it has come.
func (f *Firmware) breakOff() {
	if f.travel(); !f.planner.still() {
		f.leave()
	}
}

// stopMoves drops the queue where it stands; what was not moved was never moved.
func (f *Firmware) stopMoves() {
	f.breakOff()
	f.modes.at = f.planner.stop(f.modes.at)
}
