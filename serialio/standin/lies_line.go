package standin

import (
	"math"
	"strconv"
	"time"
)

// What a board can do to a line that it has heard well.

func goSilent(f *Firmware, _ *moment) { f.mute = true }

func hang(f *Firmware, m *moment) {
	f.mute, f.hung, m.dealt = true, true, true
	f.ear = ear{room: f.ear.room}
}

func beSlow(f *Firmware, m *moment)     { f.think(m, f.liar.between(100, 1900)) }
func beVerySlow(f *Firmware, m *moment) { f.think(m, f.liar.between(20_000, 90_000)) }

// think lets milliseconds pass before the line is obeyed.
func (f *Firmware) think(m *moment, ms int) {
	m.dealt = true
	line := m.line
	f.reply, f.busyAt = line.numbering, f.now+f.profile.BusyEvery
	f.whenPast(time.Duration(ms)*time.Millisecond, func(f *Firmware, _ block) { f.obey(line) })
}

func okEarly(f *Firmware, m *moment) {
	f.reply = m.line.numbering
	f.sayText(f.okText())
	f.early = true
}

func sayBack(f *Firmware, m *moment) { f.say(m.line.line) }

func refuseForNothing(f *Firmware, m *moment) {
	m.dealt = true
	f.refuse("checksum mismatch")
}

func refuseBarely(f *Firmware, m *moment) {
	m.dealt = true
	f.askAgain(strconv.FormatInt(f.last+1, 10))
}

// refuseGarbled damages the number on its way: letters in it, none of it, too much of it, a digit lost.
func refuseGarbled(f *Firmware, m *moment) {
	m.dealt = true
	n := strconv.FormatInt(f.last+1, 10)
	f.askAgain([]string{n[:1] + "x" + n[1:], "", n + "00000000000000000000", n[:len(n)-1], "-" + n, "NaN"}[f.liar.between(0, 6)])
}

// stormEvery is how often a storm asks by itself.
const stormEvery = 50 * time.Millisecond

func beginStorm(f *Firmware, m *moment) {
	f.stormAt = f.now + stormEvery
	refuseForNothing(f, m)
}

func refuseSilently(_ *Firmware, m *moment) { m.dealt = true }

// What it can do to the nozzle's temperature.

func readNaN(_ *Firmware, m *moment) { m.celsius = math.NaN() }

func readJumped(f *Firmware, m *moment) {
	off := float64(f.liar.between(40, 150))
	if f.liar.between(0, 2) == 0 {
		off = -off
	}
	m.celsius += off
}

func readFrozen(f *Firmware, m *moment) { f.frozen, f.frozenC = true, m.celsius }
