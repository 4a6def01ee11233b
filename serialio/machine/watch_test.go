package machine

import (
	"fmt"
	"math/bits"
	"testing"
	"time"

	"pgregory.net/rapid"

	"fettle/serialio/gcode"
)

// heatUp is an honest report of a nozzle that rises by 3 °C/s to its target and then swings about it.
func heatUp(s int, target float64) string {
	c := min(21+3*float64(s), target+0.4*float64(s%3-1))
	return fmt.Sprintf("T:%.1f /%.1f B:60.0 /60.0 @:64 B@:0", c, target)
}

func show(w *watch, s int, line string) (bool, error) {
	t, _ := gcode.ParseTemperatures([]byte(line))
	at := time.Duration(s) * time.Second
	return w.see(at, at, t)
}

// Replies carry no check: any byte of any report may be lost. As long as no two in a row are hit, not
// two of the first five, and not four of any sixteen, no heat is ended.
func TestSingleDamageEndsNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		target := rapid.Float64Range(170, 250).Draw(t, "target")
		w := newWatch(round(target, 1), shop)
		last, hits := -9, uint16(0)
		for s := range 180 {
			line := heatUp(s, round(target, 1))
			hits <<= 1
			free := s-last > 1 && (s > 4 || last < 0) && bits.OnesCount16(hits) < mostStrange-1
			if free && rapid.IntRange(0, 5).Draw(t, "hit") == 0 {
				i := rapid.IntRange(0, len(line)-1).Draw(t, "byte")
				line, last = line[:i]+line[i+1:], s
				hits |= 1
			}
			if _, err := show(w, s, line); err != nil {
				t.Fatalf("after %d s %q: %v", s, line, err)
			}
		}
	})
}

func TestATargetCloseToTheCapMayBePassedByALittle(t *testing.T) {
	for _, c := range []struct {
		target, reads float64
		ends          bool
	}{{260, 263, false}, {260, 266, true}, {250, 261, true}, {258, 262.5, false}} {
		w := newWatch(c.target, shop)
		var err error
		for s := range 4 {
			_, err = show(w, s, fmt.Sprintf("T:%.1f /%.1f", c.reads, c.target))
			if err != nil {
				break
			}
		}
		if (err != nil) != c.ends {
			t.Errorf("target %g, reads %g: %v", c.target, c.reads, err)
		}
	}
}

func TestCoolingDownToATargetIsNoFault(t *testing.T) {
	w := newWatch(180, shop)
	for s := range 120 {
		if _, err := show(w, s, fmt.Sprintf("T:%.1f /180.0", max(180, 250-float64(s)))); err != nil {
			t.Fatalf("after %d s: %v", s, err)
		}
	}
	if !w.arrived() {
		t.Error("180 °C was not noticed")
	}
}

// An answer that was long under way is of an earlier moment: what comes after it is no jump.
func TestALateAnswerIsNoJump(t *testing.T) {
	w := newWatch(205, shop)
	for s := range 20 {
		show(w, s, heatUp(s, 205))
	}
	late, _ := gcode.ParseTemperatures([]byte(heatUp(20, 205)))
	if _, err := w.see(20*time.Second, 28*time.Second, late); err != nil {
		t.Fatal(err)
	}
	for s := 29; s < 60; s++ {
		if _, err := show(w, s, heatUp(s, 205)); err != nil {
			t.Fatalf("after %d s: %v", s, err)
		}
	}
}
