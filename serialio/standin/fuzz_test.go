package standin

import (
	"testing"
	"time"
)

// Whatever is heard, nothing panics, memory stays bounded, and the printer can still be brought to its senses.
func FuzzHear(f *testing.F) {
	for _, seed := range []string{"N3 T0*57\n", "M110 N0\nM105\n", "M109 S210\nM108\n", "G28\nG1X1E1F1\nM400\nM410\n",
		"M92 E.-+\nM500\nM501\nM502\nM503\n", "M112\nM999\n", "M200 D1.75\nM302 P1\nG1 E1e9\nG10\nG11\n", "(((\n;*\n*\nN*\nNN1*0\n",
		"G4 S1000000\n", "M203 X0.01\nG1 X1000000 F0.001\n", "M155 S1\nM106 S999\nM207\n", "g91\nG1 X-99999999999999999999999\n"} {
		f.Add([]byte(seed), uint16(100))
	}
	f.Fuzz(func(t *testing.T, heard []byte, ms uint16) {
		if len(heard) > 4096 {
			return
		}
		p := New(Profile{OKFields: true})
		p.Advance(2 * time.Second)
		for len(heard) > 0 {
			n := min(len(heard), 100)
			p.Hear(heard[:n])
			p.Advance(time.Duration(ms) * time.Millisecond)
			heard = heard[n:]
			bounded(t, p)
		}
		p.Reset()
		p.Advance(2 * time.Second)
		for p.Say() != nil {
		}
		if said := tell(p, "M110 N0", framed(1, "M84")); said != "ok P16 B128\nok N1 P16 B128\n" {
			t.Errorf("after a reset: %q", said)
		}
	})
}

func bounded(t *testing.T, p *Firmware) {
	t.Helper()
	if p.mouth.waiting() > mouthBytes+4096 || p.ear.used > p.ear.room || p.ear.used < 0 || len(p.planner.queue) > 16+9 || len(p.diary.ring) > kept {
		t.Fatalf("out %d, ear %d, queue %d, diary %d", p.mouth.waiting(), p.ear.used, len(p.planner.queue), len(p.diary.ring))
	}
	if due, any := p.Due(); any && due < 0 {
		t.Fatalf("due in %v", due)
	}
}
