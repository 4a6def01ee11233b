package machine

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
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

// Replies carry no check: any byte of any report may be lost. As long as no two in a row are hit, and not two of the first five, no heat is ended.
func TestSingleDamageEndsNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		target := rapid.Float64Range(170, 250).Draw(t, "target")
		w := newWatch(round(target, 1), shop)
		last := -9
		for s := range 180 {
			line := heatUp(s, round(target, 1))
			free := s-last > 1 && (s > 4 || last < 0)
			if free && rapid.IntRange(0, 5).Draw(t, "hit") == 0 {
				i := rapid.IntRange(0, len(line)-1).Draw(t, "byte")
				line, last = line[:i]+line[i+1:], s
			}
			if _, err := show(w, s, line); err != nil {
				t.Fatalf("after %d s %q: %v", s, line, err)
			}
		}
	})
}

// 1,000 hours of polls at a byte error rate of 1e-5: no false stop. Two clean wrong readings in a row come once in some
// 5e8 polls by the calculation (40 bytes x 1e-5, of which one in nine gives a clean wrong number, squared).
func TestNoFalseStopsInNoisyHours(t *testing.T) {
	const hours, rate = 1000, 1e-5
	var lines [3]string
	var honest [3]gcode.Temperatures
	for i := range lines {
		lines[i] = heatUp(300+i, 205)
		honest[i], _ = gcode.ParseTemperatures([]byte(lines[i]))
	}
	random := rand.New(rand.NewPCG(3, 7))
	w := newWatch(205, shop)
	damaged, next := 0, int(random.ExpFloat64()/rate) // bytes until the next damage
	for s := range hours * 3600 {
		line, report := lines[s%3], honest[s%3]
		for next < len(line) {
			bytes := []byte(line)
			bytes[next] ^= 1 << random.IntN(7)
			line = string(bytes)
			report, _ = gcode.ParseTemperatures(bytes)
			damaged, next = damaged+1, next+1+int(random.ExpFloat64()/rate)
		}
		next -= len(line)
		at := time.Duration(s) * time.Second
		if _, err := w.see(at, at, report); err != nil {
			t.Fatalf("after %d s %q: %v", s, line, err)
		}
	}
	expected := hours * 3600 * float64(len(lines[0])) * rate
	if math.Abs(float64(damaged)-expected) > 5*math.Sqrt(expected) {
		t.Errorf("%d bytes were damaged, expected %.0f", damaged, expected)
	}
}

// A fault of the machine itself is acted upon within two polls of its first appearance, wherever it begins.
func TestATrueFaultIsActedUponWithinTwoPolls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		begins := rapid.IntRange(3, 150).Draw(t, "begins")
		fault := rapid.SampledFrom([]string{"T:300.0 /205.0", "T:-20.0 /205.0", "T:H /0.0", "T:H /150.0"}).Draw(t, "fault")
		w := newWatch(205, shop)
		for s := range begins {
			if _, err := show(w, s, heatUp(s, 205)); err != nil {
				t.Fatal(err)
			}
		}
		c := min(205, 21+3*begins)
		fault = strings.Replace(fault, "H", strconv.Itoa(c), 1)
		_, first := show(w, begins, fault)
		_, second := show(w, begins+1, fault)
		if first != nil || second == nil {
			t.Fatalf("%q: first %v, second %v", fault, first, second)
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
