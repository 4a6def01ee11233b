package machine

import (
	"errors"
	"fmt"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// bedOf shows a bed's reports, one each second, to its watch, and returns when it said that something is wrong.
func bedOf(w *bedWatch, seconds int, says func(s int) string) (after int, again int, err error) {
	for s := range seconds {
		at := time.Duration(s) * time.Second
		resend, err := w.see(at, at, read([]byte(says(s))))
		if resend {
			again++
		}
		if err != nil {
			return s, again, err
		}
	}
	return seconds, again, nil
}

func bedSays(c, targetC float64) string {
	return fmt.Sprintf("ok T:205.0 /205.0 B:%.1f /%.1f", c, targetC)
}

// bedAt is an honest bed that rises or falls by a pace to its target and then swings about it.
func bedAt(s int, fromC, targetC, cPerS float64) float64 {
	if fromC < targetC {
		return min(fromC+cPerS*float64(s), targetC+0.4*float64(s%3-1))
	}
	return max(fromC-cPerS*float64(s), targetC+0.4*float64(s%3-1))
}

func TestBedFaults(t *testing.T) {
	from := func(n int, then func(n int) string) func(int) string { // a bed at rest, and what it says n s later
		return func(s int) string {
			if s < n {
				return bedSays(60, 60)
			}
			return then(s - n)
		}
	}
	always := func(line string) func(int) string { return func(int) string { return line } }
	for _, c := range []struct {
		name  string
		fault HeatFault
		after int // s, when it is acted upon
		says  func(s int) string
	}{
		{"off at the panel", SwitchedOff, 101, from(100, always(bedSays(60, 0)))},
		{"another target", WrongTarget, 101, from(100, always(bedSays(60, 120)))},
		{"another target from the first", WrongTarget, 1, always(bedSays(21, 120))},
		{"never set", WrongTarget, 1, always(bedSays(21, 0))},
		{"over the limit", AboveCap, 101, from(100, always(bedSays(115.1, 60)))},
		{"runs away", OverTarget, 136, from(100, func(n int) string { return bedSays(60+0.6*float64(n), 60) })}, // over 75 °C from 125 s on
		{"stays far over", OverTarget, 240, always(bedSays(90, 60))},
		{"rises from far over", OverTarget, 11, func(s int) string { return bedSays(80+0.5*float64(s), 60) }},
		{"no longer named", NoReading, 159, from(100, always("ok T:205.0 /205.0"))},
		{"never named", NoReading, 60, always("ok T:205.0 /205.0")},
		{"heater loose", NoRise, 241, func(s int) string { return bedSays(21+0.01*float64(s), 60) }},
		{"heater gone in the middle", NoRise, 589, from(100, func(n int) string { return bedSays(max(21, 60-0.04*float64(n)), 60) })}, // 50 °C at 350 s
		{"sensor open", Implausible, 101, from(100, always(bedSays(-15, 60)))},
		{"sensor loose", Jump, 101, from(100, always(bedSays(25, 60)))},
	} {
		after, _, err := bedOf(newBedWatch(60, shop), 3600, c.says)
		var fault *HeatError
		if !errors.As(err, &fault) || fault.Part != Bed || fault.Fault != c.fault || after < c.after-2 || after > c.after+2 {
			t.Errorf("%s: after %d s %v, want %q after %d s", c.name, after, err, c.fault, c.after)
		}
	}
}

func TestHonestBedsAreLeftAlone(t *testing.T) {
	for name, says := range map[string]func(int) string{
		"slow":             func(s int) string { return bedSays(bedAt(s, 21, 60, 0.03), 60) },
		"strong":           func(s int) string { return bedSays(bedAt(s, 21, 60, 1.9), 60) },
		"cools slowly":     func(s int) string { return bedSays(bedAt(s, 100, 60, 0.01), 60) },
		"is too weak":      func(s int) string { return bedSays(min(21+0.1*float64(s), 54), 60) },
		"tells no targets": func(s int) string { return "ok T:205.0 B:60.0" },
	} {
		if after, again, err := bedOf(newBedWatch(60, shop), 7200, says); err != nil || again > 0 {
			t.Errorf("%s: after %d s %v; sent %d times more", name, after, err, again)
		}
	}
}

// A bed that nobody here has set is held to its limit alone.
func TestABedOfSomebodyElseIsHeldToItsLimit(t *testing.T) {
	steps := []float64{21, 60, 80, -20, 110, 21}
	if _, _, err := bedOf(newBedWatch(0, shop), 600, func(s int) string { return bedSays(steps[s/100], 90) }); err != nil {
		t.Error(err)
	}
	if _, _, err := bedOf(newBedWatch(0, Limits{}), 600, func(int) string { return bedSays(90, 90) }); err != nil {
		t.Errorf("without a setup: %v", err)
	}
	if after, _, err := bedOf(newBedWatch(0, shop), 600, func(int) string { return bedSays(116, 90) }); err == nil || after != 1 {
		t.Errorf("over its limit: after %d s %v", after, err)
	}
}

// A target that did not arrive is sent once more, and is then right.
func TestABedTargetIsSentOnceMore(t *testing.T) {
	for _, first := range []float64{0, 120} {
		_, again, err := bedOf(newBedWatch(60, shop), 60, func(s int) string {
			if s == 0 {
				return bedSays(59.8, first)
			}
			return bedSays(59.8, 60)
		})
		if err != nil || again != 1 {
			t.Errorf("%g °C first: %v, sent %d times more", first, err, again)
		}
	}
}

// What climbs through the band has not arrived, however many readings lie in it.
func TestABedThatPassesByHasNotArrived(t *testing.T) {
	for cPerS, stops := range map[float64]bool{0.15: false, 0.3: false, 0.5: false, 0.1001: true, 0.4: true} {
		w := newBedWatch(60, shop)
		arrivedAt := 0.0
		for s := range 1200 {
			c, at := 21+cPerS*float64(s), time.Duration(s)*time.Second
			if stops {
				c = bedAt(s, 21, 60, cPerS)
			}
			if _, err := w.see(at, at, read([]byte(bedSays(c, 60)))); err != nil {
				break
			}
			if w.arrived(at) {
				arrivedAt = c
				break
			}
		}
		if (arrivedAt > 0) != stops {
			t.Errorf("by %g °C/s, stops %t: arrived at %.1f °C", cPerS, stops, arrivedAt)
		}
	}
}

// Any byte of any report may be lost or changed: as long as no two in a row are hit, no bed is ended.
func TestSingleDamageEndsNoBed(t *testing.T) {
	beds := map[string]func(s int) float64{
		"rises": func(s int) float64 { return bedAt(s, 21, 60, 0.1) },
		"cools": func(s int) float64 { return bedAt(s, 100, 60, 0.05) },
		"stays": func(s int) float64 { return bedAt(s, 59, 60, 1) },
		"at 88": func(s int) float64 { return bedAt(s, 88, 60, 0.006) },
	}
	for name, c := range beds {
		rapid.Check(t, func(t *rapid.T) {
			last := -2
			_, _, err := bedOf(newBedWatch(60, shop), 300, func(s int) string {
				line := bedSays(c(s), 60)
				if s-last < 2 || rapid.IntRange(0, 9).Draw(t, "hit") != 0 {
					return line
				}
				last = s
				bad := []byte(line)
				i := rapid.IntRange(0, len(bad)-1).Draw(t, "byte")
				if bit := rapid.IntRange(0, 8).Draw(t, "bit"); bit < 8 {
					bad[i] ^= 1 << bit
					return string(bad)
				}
				return line[:i] + line[i+1:]
			})
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
		})
	}
}
