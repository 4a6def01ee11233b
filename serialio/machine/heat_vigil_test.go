package machine

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

// looks looks once a second, n times or until something is wrong, and returns how often.
func looks(t *testing.T, v *Vigil, n int) (int, error) {
	for i := range n {
		if err := v.Look(t.Context()); err != nil {
			return i + 1, err
		}
		time.Sleep(time.Second)
	}
	return n, nil
}

func TestAVigilFindsWhatAWaitWould(t *testing.T) {
	for name, c := range map[string]struct {
		says  string
		fault HeatFault
	}{
		"jump":             {"T:120.0 /205.0", Jump},
		"too cold":         {"T:-20.0 /205.0", Implausible},
		"over the cap":     {"T:290.0 /205.0", AboveCap},
		"no number":        {"T:nan /205.0", NoReading},
		"another":          {"T:205.0 /240.0", WrongTarget},
		"off at the panel": {"T:205.0 /0.0", SwitchedOff},
	} {
		synctest.Test(t, func(t *testing.T) {
			b := newBench()
			b.nozzleC = 205
			sick := false
			b.report = func(_ int, honest string) string {
				if sick {
					return c.says
				}
				return honest
			}
			m := b.machine(1)
			if err := m.SetNozzle(t.Context(), 205); err != nil {
				t.Fatal(err)
			}
			v := m.Vigil()
			if n, err := looks(t, v, 600); err != nil {
				t.Fatalf("%s: after %d looks at a healthy nozzle: %v", name, n, err)
			}
			sick = true
			n, err := looks(t, v, 5)
			var fault *HeatError
			if !errors.As(err, &fault) || fault.Fault != c.fault || n > 2 {
				t.Errorf("%s: after %d looks %v", name, n, err)
			}
		})
	}
}

func TestAVigilSendsATargetOnceMore(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench()
		b.nozzleC = 205
		sent := 0
		b.hook = func(block string) ([]string, error, bool) {
			if !strings.HasPrefix(block, "M104") {
				return nil, nil, false
			}
			if sent++; sent == 1 { // another arrives than was sent
				b.targetC = 245
			}
			return nil, nil, sent == 1
		}
		m := b.machine(1)
		if err := m.SetNozzle(t.Context(), 205); err != nil {
			t.Fatal(err)
		}
		if n, err := looks(t, m.Vigil(), 10); err != nil || b.count("M104 S205") != 2 {
			t.Errorf("after %d looks %v; sent %d times", n, err, b.count("M104 S205"))
		}
	})
}

// A target that is changed begins anew, and heat that is off is not watched: there is nothing to switch off.
func TestAVigilFollowsTheTarget(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench()
		b.nozzleC = 205
		m := b.machine(1)
		v := m.Vigil()
		for _, targetC := range []float64{0, 205, 230, 180, 0} {
			if err := m.SetNozzle(t.Context(), targetC); err != nil {
				t.Fatal(err)
			}
			if n, err := looks(t, v, 60); err != nil {
				t.Fatalf("%g °C: after %d looks %v", targetC, n, err)
			}
		}
		b.report = func(i int, _ string) string { return fmt.Sprintf("T:%d /0.0", -20-i) }
		if _, err := looks(t, v, 5); err != nil {
			t.Errorf("cold: %v", err)
		}
		b.report = func(int, string) string { return "echo:later" }
		if _, err := looks(t, v, 5); err != nil {
			t.Errorf("no reading and no heat: %v", err)
		}
	})
}
