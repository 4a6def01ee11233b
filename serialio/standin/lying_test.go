package standin

import (
	"math/rand/v2"
	"strings"
	"testing"
	"time"
)

// lyingAll tells every lie with the same chance, the fatal ones less often.
func lyingAll(chance float64) (all []Lying) {
	for _, lie := range Lies() {
		switch lie {
		case Silent, Hang, FaultReported, ResendStorm, SlowAlive:
			all = append(all, Lying{lie, chance / 8})
		default:
			all = append(all, Lying{lie, chance})
		}
	}
	return all
}

// conversation is 1,000 lines of all kinds, and whatever a printer says to them. A button is pressed now and then.
func conversation(f *Firmware, visit func()) string {
	blocks := []string{"M105", "G1 X1 E0.1 F1800", "M104 S200", "M503", "G4 P700", "M82", "M109 S205", "M1234", "M114"}
	rng := rand.New(rand.NewPCG(1, 1))
	var said strings.Builder
	for i := range 1000 {
		line := framed(int(f.last)+1, blocks[rng.IntN(len(blocks))])
		if i%9 == 0 {
			line += "9" // a wrong sum
		}
		f.Hear([]byte(line + "\n"))
		for range 10 {
			f.Advance(time.Duration(rng.IntN(300)) * time.Millisecond)
			said.Write(f.Say())
			visit()
		}
		if i%20 == 0 {
			f.Reset()
		}
	}
	return said.String()
}

func lyingPrinter(seed uint64, lies []Lying) *Firmware {
	return New(Profile{BootTime: -1, Greets: true, OKFields: true, Seed: seed, Lies: lies})
}

func TestTheSameSeedTellsTheSameLies(t *testing.T) {
	said := func(seed uint64) (string, map[Lie]int) {
		f := lyingPrinter(seed, lyingAll(0.1))
		text, times := conversation(f, func() {}), map[Lie]int{}
		for _, lie := range Lies() {
			times[lie] = f.Told(lie)
		}
		return text, times
	}
	first, times := said(1)
	again, timesAgain := said(1)
	other, _ := said(2)
	if first != again || first == other {
		t.Errorf("the same seed says the same: %v; another seed does: %v", first == again, first == other)
	}
	for _, lie := range Lies() {
		if times[lie] != timesAgain[lie] || times[lie] == 0 {
			t.Errorf("%q: told %d times, and %d again", lie, times[lie], timesAgain[lie])
		}
	}
}

func TestAPrinterThatMayLieAndDoesNotIsHonest(t *testing.T) {
	honest := conversation(lyingPrinter(1, nil), func() {})
	tempted := lyingPrinter(1, append(lyingAll(0), Lying{"no such lie", 1}))
	if got := conversation(tempted, func() {}); got != honest {
		t.Error("lies of no chance changed what is said")
	}
	if tempted.Told("no such lie") != 0 || tempted.Told(OKLost) != 0 {
		t.Error("lies were counted that were not told")
	}
}

func TestALieIsToldAboutAsOftenAsItsChance(t *testing.T) {
	f := lyingPrinter(3, []Lying{{OKLost, 0.1}, {OKDoubled, 0.2}})
	for i := range 2000 {
		tell(f, framed(i+1, "M82"))
	}
	mustBe(t, "oks lost of 2,000 at 10 %", float64(f.Told(OKLost)), 200, 50)
	mustBe(t, "oks doubled of the other 1,800 at 20 %", float64(f.Told(OKDoubled)), 360, 70)
}

func TestMemoryIsBoundedWhateverIsLied(t *testing.T) {
	f := lyingPrinter(1, lyingAll(0.3))
	conversation(f, func() { bounded(t, f) })
}

func TestAFloodIsMadeWhileItIsSaid(t *testing.T) {
	f := New(Profile{BootTime: -1, Lies: []Lying{{Flood, 1}}})
	f.Advance(museEvery)
	f.liar.tempted[atWill][0].chance = 0 // one is enough
	f.Hear([]byte("M118 behind\n"))
	total, longest, kept := 0, 0, 0
	for {
		out := f.Say()
		if f.mouth.waiting() == 0 && f.mouth.stuff == 0 {
			if !strings.HasSuffix(string(out), "x\nbehind\nok\n") && string(out) != "\nbehind\nok\n" {
				t.Errorf("ends with %q", out)
			}
			break
		}
		total, longest, kept = total+len(out), max(longest, len(out)), max(kept, cap(f.mouth.out)+cap(f.mouth.spare))
		f.Advance(10 * time.Millisecond)
	}
	if total != 1+1<<20 || longest > 1<<10 || kept > 4<<10 {
		t.Errorf("%d bytes without a line end, at most %d at a time, %d kept", total, longest, kept)
	}
}
