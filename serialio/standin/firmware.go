// Package standin is a printer that does not exist: firmware that speaks the open G-code dialect over a serial line,
// the physics behind it (heaters, axes, a gear that pushes filament, melt that strings, plastic that stays on the bed), and the
// pseudo-terminal it is plugged in with.
//
// Owns: its own reading of the dialect, its own clock (what Advance is told), its own idea of what filament does.
// Guarantees: Firmware is a pure step: it starts no goroutine, reads no clock, and the same calls give the same bytes
// and the same filament, and the same lies. Its memory is bounded whatever bytes it hears and whatever lies it tells.
// Does not do: share code with the program that talks to it, so that one mistake cannot sit on both sides of the line.
// It is no firmware of any machine: every number in it is invented. Moves start and end at rest, a quick stop stops
// without braking, bytes take no time on the wire unless its cable is a paced one.
// Read next: profile.go (what can be chosen), obey.go (the words), filament.go (what a feed check is about),
// melt.go, plate.go and piece_look.go (what strings are about), strings.go (the same without G-code), machines.go,
// lie.go (how it misbehaves), serve.go (time), cable.go (the port and its name), pace.go (bytes that take time).
package standin

import "time"

// Firmware is the printer as a pure step. Bytes go in by Hear, time by Advance; Say gives what it answers.
// It is not safe for use by several goroutines; Printer is.
type Firmware struct {
	profile Profile
	now     time.Duration // since the power came on
	world   world         // what a reset does not touch: iron, plastic, axes
	stored  Settings      // what M500 keeps; nil where nothing was ever stored
	board                 // what a reset begins anew
	letters []param       // memory of the line in hand
	text    []byte        // and of its ok
	mouth   mouth
	chatter chatter
	liar    *liar
	diary   diary
}

// New switches a printer on: it boots, and greets if its profile says so.
func New(p Profile) *Firmware {
	p.fill()
	f := &Firmware{profile: p, world: newWorld(p), liar: newLiar(&p)}
	if p.RemarksEvery > 0 {
		f.chatter = newChatter(p.Seed)
	}
	if p.LongestPause > 0 {
		f.mouth.pause = newPause(p.Seed, p.LongestPause)
	}
	f.boot()
	return f
}

// Reset is what a raised DTR line does to many boards, and what the button does to all of them. Heat, plastic and
// stored settings stay as they are; everything else begins anew.
func (f *Firmware) Reset() {
	f.diary.resets++
	f.breakOff()
	f.boot()
}

// HostOpened tells that a host has opened the line; a board that resets on it does so.
func (f *Firmware) HostOpened() {
	if f.profile.ResetsOnOpen {
		f.Reset()
	}
}

// Hear takes bytes from the line, at the time Advance has reached.
func (f *Firmware) Hear(p []byte) {
	if f.profile.FromHost != nil {
		p = f.profile.FromHost(p)
	}
	for len(p) > 0 && !f.booting() && !f.hung {
		n, whole := f.ear.hear(p)
		p = p[n:]
		f.diary.lost += f.ear.takeLost()
		if whole {
			f.outOfBand(f.ear.newest())
			f.settle()
		}
	}
	f.diary.lost += len(p)
}

// Say returns the bytes that are ready for the host, and forgets them. It returns nil if there are none, or if a pause
// is made in the middle of a line; Due tells how long. What it returns is good until it is called again.
func (f *Firmware) Say() []byte {
	out := f.mouth.take(f.now)
	f.settle() // a full mouth may have held lines back
	if out != nil && f.profile.ToHost != nil {
		out = f.profile.ToHost(out)
	}
	return out
}

// Advance lets time pass: everything that falls due within dt happens, in order. A dt below zero is nothing.
func (f *Firmware) Advance(dt time.Duration) {
	end := f.now + max(dt, 0)
	for f.now < end {
		f.now = min(f.next(), end)
		f.travel()
		f.warm()
		f.wake()
		f.settle()
		f.report()
	}
}
