package standin

import (
	"strconv"
	"time"
)

// museEvery is how often a board can lie of its own accord.
const museEvery = 250 * time.Millisecond

// liarDue is when a lie can next be told that nothing calls for, or a storm goes on.
func (f *Firmware) liarDue() time.Duration {
	if f.liar == nil || f.mute || f.deaf() {
		return idle
	}
	due := idle
	if f.liar.mayLie(atWill) {
		due = f.museAt
	}
	if f.stormAt > 0 {
		due = min(due, f.stormAt)
	}
	return due
}

// muse is the last that is done in a turn: it may be the end of the board as it was.
func (f *Firmware) muse() {
	if f.stormAt > 0 && f.now >= f.stormAt {
		f.stormAt = f.now + stormEvery
		f.remark(f.again() + strconv.FormatInt(f.last+1, 10))
	}
	if f.liar.mayLie(atWill) && f.now >= f.museAt {
		f.museAt = f.now + museEvery
		f.tempt(atWill, moment{})
	}
}

func restartItself(f *Firmware, _ *moment)   { f.Reset() }
func greetForNothing(f *Firmware, _ *moment) { f.greet() }
func countBack(f *Firmware, _ *moment)       { f.last = 0 }

// changeTarget aims at nothing, or at anything else that a nozzle can reach.
func changeTarget(f *Firmware, _ *moment) {
	celsius := 0.0
	if now := f.heaters[nozzle].targetC; now <= 0 || f.liar.between(0, 2) == 0 {
		celsius = float64(f.liar.between(50, 250))
	}
	f.aim(nozzle, celsius)
}

func reportFault(f *Firmware, _ *moment) {
	f.say("Error:Thermal Runaway, system stopped! Heater_ID: 0")
	f.halt()
}

func sayOneOf(lines ...string) func(*Firmware, *moment) {
	return func(f *Firmware, _ *moment) { f.remark(lines[f.liar.between(0, len(lines))]) }
}

func sayNoise(f *Firmware, _ *moment) {
	noise := make([]byte, f.liar.between(1, 41))
	for i := range noise {
		noise[i] = byte(f.liar.between(0, 256))
	}
	f.remark(string(noise))
}

// flood is a line whose middle is made while it is said.
func flood(f *Firmware, _ *moment) {
	if f.mouth.full() {
		return
	}
	const bytes = 1 << 20
	f.mouth.out = append(f.mouth.out, stuffing)
	f.mouth.cut(cut{at: len(f.mouth.out), stuffing: bytes})
	f.endLine()
}
