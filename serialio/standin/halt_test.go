package standin

import (
	"testing"
	"time"
)

func TestAHaltIsAtOnceAndForGood(t *testing.T) {
	f := awake(t, nil)
	tell(f, "M104 S200")
	f.Hear([]byte("G91\nG1 X100 F600\nM400\nM118 behind\n"))
	f.Advance(3 * time.Second)
	f.Say()
	f.Hear([]byte("M112\n"))
	if said := string(f.Say()); said != "Error:Printer halted. kill() called!\n" {
		t.Errorf("said %q", said)
	}
	x := f.Snapshot().HeadMM[0]
	f.Hear([]byte("M105\nM104 S200\n"))
	f.Advance(time.Minute)
	if said := f.Say(); said != nil {
		t.Errorf("a halted printer said %q", said)
	}
	if s := f.Snapshot(); !s.Halted || s.Hot || s.HeadMM[0] != x || s.Queued != 0 {
		t.Errorf("halted %v, hot %v, moved %v, %d queued", s.Halted, s.Hot, s.HeadMM[0]-x, s.Queued)
	}
}

func TestAHaltWithoutAnEmergencyEarWaitsForItsTurn(t *testing.T) {
	f := awake(t, func(p *Profile) { p.NoEmergency = true })
	f.Hear([]byte("G4 S5\nM112\n"))
	f.Advance(4 * time.Second)
	if f.Snapshot().Halted {
		t.Error("halted before its turn")
	}
	f.Advance(2 * time.Second)
	if !f.Snapshot().Halted {
		t.Error("never halted")
	}
}

func TestADamagedM112HaltsNothing(t *testing.T) {
	f := awake(t, nil)
	tell(f, "N1 M112*1")
	if f.Snapshot().Halted {
		t.Error("halted by a line whose checksum is wrong")
	}
}

func TestWhatWakesAHaltedPrinter(t *testing.T) {
	open := (*Firmware).HostOpened
	m999 := func(f *Firmware) { f.Hear([]byte("M999\n")) }
	for name, c := range map[string]struct {
		profile Profile
		do      func(*Firmware)
		wakes   bool
	}{
		"opening, where it resets":     {Profile{ResetsOnOpen: true}, open, true},
		"opening, where it does not":   {Profile{}, open, false},
		"M999":                         {Profile{}, m999, true},
		"M999, where it hears nothing": {Profile{Deaf999: true}, m999, false},
		"the button":                   {Profile{Deaf999: true}, (*Firmware).Reset, true},
	} {
		f := New(c.profile)
		f.Advance(2 * time.Second)
		tell(f, "M112")
		c.do(f)
		f.Advance(2 * time.Second)
		if got := !f.Snapshot().Halted; got != c.wakes {
			t.Errorf("%s: awake %v, want %v", name, got, c.wakes)
		}
	}
}
