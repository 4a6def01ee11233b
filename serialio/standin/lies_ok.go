package standin

import (
	"strconv"
	"time"
)

// What a board can do to its ok.

func loseOK(_ *Firmware, m *moment) { m.text = nil }

func doubleOK(f *Firmware, m *moment) { f.sayText(m.text) }

func olderOK(f *Firmware, m *moment) {
	m.text = strconv.AppendInt([]byte("ok N"), max(f.last-int64(f.liar.between(1, 9)), 0), 10)
}

func reportThenOK(f *Firmware, m *moment) { m.text = append([]byte(f.temperatures()), m.text...) }
func okThenReport(f *Firmware, m *moment) { m.text = append(m.text, f.temperatures()...) }

func splitOK(f *Firmware, m *moment) {
	middle := len(f.mouth.out) + f.liar.between(1, len(m.text))
	f.sayText(m.text)
	f.mouth.cut(cut{at: middle, pause: time.Duration(f.liar.between(50, 800)) * time.Millisecond})
	m.text = nil
}

func unendOK(f *Firmware, m *moment) {
	f.mouth.out = append(f.mouth.out, m.text...)
	m.text = nil
}

func damageOK(f *Firmware, m *moment) {
	at := f.liar.between(0, len(m.text))
	if f.liar.between(0, 2) == 0 {
		m.text = append(m.text[:at], m.text[at+1:]...)
		return
	}
	m.text[at] ^= 1 << f.liar.between(0, 8)
}

func askForOld(f *Firmware, m *moment)    { f.askInstead(m, max(f.last-int64(f.liar.between(0, 9)), 1)) }
func askForFuture(f *Firmware, m *moment) { f.askInstead(m, f.last+int64(f.liar.between(2, 999))) }

// askInstead refuses a line that was obeyed, or never sent.
func (f *Firmware) askInstead(m *moment, number int64) {
	m.text = nil
	f.sayWhy("checksum mismatch", number-1)
	f.askAgain(strconv.FormatInt(number, 10))
}
