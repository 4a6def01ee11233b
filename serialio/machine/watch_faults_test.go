package machine

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"fettle/serialio/gcode"
)

// A bench at which things go wrong: a nozzle with its heater, and a firmware that holds a target. From a poll on it says
// something else than the truth, or the truth is bad.
type sick struct {
	name  string
	fault HeatFault
	// says is the report n polls after the fault began, of a nozzle that is then at c, and was at fromC as it began.
	says func(n int, c, fromC float64) string
	// due is how many polls after its beginning the fault can be acted upon; from then on it must be within two.
	due    int
	during during
}

// during is when a fault can begin.
type during int

const (
	anyTime during = iota
	rising
	held
)

func says(form string, c float64) string {
	return fmt.Sprintf("T:"+form+" /205.0 B:60.0 /60.0 @:64 B@:0", c)
}

var sicknesses = []sick{
	{"a step of 15 °C up", Jump, func(_ int, c, fromC float64) string { return says("%.1f", max(c, fromC)+15.1) }, 0, anyTime},
	{"a step of 15 °C down", Jump, func(_ int, c, fromC float64) string { return says("%.1f", min(c, fromC)-15.1) }, 0, anyTime},
	{"a step of 45 °C down", Jump, func(_ int, c, _ float64) string { return says("%.1f", max(min(c-45, 205), -9)) }, 0, anyTime},
	{"rises by 16 °C/s", Jump, func(n int, _, fromC float64) string { return says("%.1f", min(fromC+3+16*float64(n+1), 255)) }, 0, rising},
	{"falls by 18 °C/s", Jump, func(n int, _, fromC float64) string { return says("%.1f", max(fromC-18*float64(n+1), -9)) }, 0, anyTime},
	{"a reading of -10.1 °C", Implausible, func(int, float64, float64) string { return says("%.1f", -10.1) }, 0, anyTime},
	{"a reading of -273 °C", Implausible, func(int, float64, float64) string { return says("%.1f", -273) }, 0, anyTime},
	{"over the cap", AboveCap, func(n int, _, _ float64) string { return says("%.1f", 260.1+float64(n)) }, 0, anyTime},
	{"no number", NoReading, func(int, float64, float64) string { return "T:nan /205.0 B:60.0 /60.0" }, 0, anyTime},
	{"no number and nothing else", NoReading, func(int, float64, float64) string { return "T:nan /205.0" }, 0, anyTime},
	{"infinite", NoReading, func(int, float64, float64) string { return "T:inf /205.0 B:60.0 /60.0" }, 0, anyTime},
	{"frozen with power", Frozen, func(_ int, _, fromC float64) string { return says("%.1f", fromC) }, 30, rising},
	{"no longer a report", NoReading, func(int, float64, float64) string { return "echo:later" }, 9, anyTime},
	{"16 °C over its target", OverTarget, func(n int, _, _ float64) string { return says("%.1f", 205+min(float64(n)*3, 16)) }, 15, held},
	{"a loose contact", Jump, func(n int, c, _ float64) string { return says("%.1f", c+50*float64((n+1)%2)) }, 6, anyTime},
}

// TestTrueFaultsAreActedUponWithinTwoPolls lets each fault begin at each poll of five minutes' work, while the nozzle
// rises and while it is held, and counts the polls from when it can be acted upon.
func TestTrueFaultsAreActedUponWithinTwoPolls(t *testing.T) {
	for _, f := range sicknesses {
		begun, slowest := 0, 0
		for _, riseCPerS := range []float64{1.2, 3, 8} {
			s := newShift(riseCPerS)
			for begins := 3; begins < len(s.honest)-f.due-4; begins++ {
				if f.during == rising && begins > s.waits-6 || f.during == held && begins < s.waits {
					continue
				}
				polls, err := s.fallSick(f, begins)
				var fault *HeatError
				if !errors.As(err, &fault) || fault.Fault != f.fault {
					t.Fatalf("%s, from poll %d, rising by %g °C/s: %v", f.name, begins, riseCPerS, err)
				}
				begun, slowest = begun+1, max(slowest, polls-f.due)
			}
		}
		t.Logf("%-28s %-12q begun at %3d polls, acted upon within %d polls of when it can be", f.name, f.fault, begun, slowest)
		if slowest > 2 {
			t.Errorf("%s: after %d polls", f.name, slowest)
		}
	}
}

// fallSick lets a fault begin at a poll, and counts the polls until it is acted upon.
func (s *shift) fallSick(f sick, begins int) (polls int, err error) {
	w := s.watch(0)
	for i, t := range s.honest {
		if i >= begins {
			fromC := s.honest[begins-1].NozzleC
			t = read([]byte(f.says(i-begins, t.NozzleC, fromC)))
		}
		if _, err = w.see(s.at(i), s.at(i), t); err != nil {
			return i - begins + 1, err
		}
	}
	return 0, nil
}

// TestAWrongTargetLivesAtMostTwoPolls puts each checksum twin of the heat line in its place: two bits of one column
// flipped, so that the firmware takes it. It is then read back with each poll, and sent once more, which arrives whole, as
// the same twin, as another, or not at all.
func TestAWrongTargetLivesAtMostTwoPolls(t *testing.T) {
	twins, corrected, stopped, longest := 0, 0, 0, time.Duration(0)
	for targetC := 170; targetC <= 255; targetC += 5 {
		all := twinsOf(fmt.Sprintf("M104 S%d", targetC))
		for i, twin := range all {
			for _, second := range []string{fmt.Sprintf("M104 S%d", targetC), twin, all[(i+1)%len(all)], ""} {
				for _, begins := range []float64{0, 205} { // what the firmware held before
					lived, stop := lives(float64(targetC), begins, twin, second)
					twins++
					if longest = max(longest, lived); stop {
						stopped++
					} else {
						corrected++
					}
				}
			}
		}
	}
	t.Logf("%d wrong targets: %d corrected, %d stopped; none lived longer than %v (2 polls)", twins, corrected, stopped, longest)
	if twins < 1000 || corrected == 0 || stopped == 0 || longest > 2*time.Second {
		t.Errorf("%d wrong targets, the longest lived %v", twins, longest)
	}
}

// lives is how long a firmware holds a wrong target, from the line that brought it to the line that corrects it or to the
// stop. It is polled as WaitNozzle does: at once, and then each second.
func lives(targetC, before float64, first, second string) (lived time.Duration, stopped bool) {
	held := obey(before, first)
	w := newWatch(targetC, shop)
	c := 21.0
	for at := time.Duration(0); at < time.Minute; at += pollEvery {
		if near(held, targetC) && at > 0 {
			return lived, false
		}
		lived = at
		again, err := w.see(at, at, read(fmt.Appendf(nil, "ok T:%.1f /%.1f B:60.0 /60.0", c, held)))
		if err != nil {
			return at, true
		}
		if again {
			held = obey(held, second)
		}
		c += 4
	}
	return time.Minute, false
}

// obey is the target of a firmware that has been sent a heat line.
func obey(held float64, line string) float64 {
	b, err := gcode.Parse(line)
	if s, ok := b.Value('S'); err == nil && b.Is("M104") && ok {
		return s
	}
	return held
}

// twinsOf is every line that has the same checksum by two flipped bits and that gives another target or none.
func twinsOf(line string) (twins []string) {
	for i := range line {
		for j := range i {
			for bit := range 8 {
				b := []byte(line)
				b[i] ^= 1 << bit
				b[j] ^= 1 << bit
				if obey(0, string(b)) != obey(0, line) {
					twins = append(twins, string(b))
				}
			}
		}
	}
	return twins
}

// TestATargetThatChangesByItselfIsCorrectedOrStopped: later on, while filament is fed, the firmware holds another target.
func TestATargetThatChangesByItselfIsCorrectedOrStopped(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 10_000 {
		w := newWatch(205, shop)
		w.right, w.risen = true, true
		begins, to, obeys := random.IntN(60), float64(random.IntN(260)), random.IntN(2) == 0
		if near(to, 205) {
			continue
		}
		held, wrong := 205.0, 0
		for i := range 65 {
			if i == begins {
				held = to
			}
			if !near(held, 205) {
				wrong++
			}
			at := time.Duration(i) * time.Second
			again, err := w.see(at, at, read(fmt.Appendf(nil, "ok T:%.1f /%.1f", 204.8+0.1*float64(i%3), held)))
			if again && obeys {
				held = 205
			}
			if err != nil {
				break
			}
		}
		if wrong > 2 || wrong == 0 {
			t.Fatalf("from poll %d on the target is %g, for %d polls", begins, to, wrong)
		}
	}
}
