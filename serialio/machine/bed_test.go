package machine

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"fettle/serialio"
	"fettle/serialio/gcode"
)

// warmBench is a hot printer whose bed has been set to 60 °C and is there; bends changes what it reports of the bed.
func warmBench(t *testing.T) (b *bench, m *Machine, bends func(to string)) {
	b, m = hotBench(t, 1)
	var said atomic.Value // of the bed; bent while the machine asks
	said.Store("")
	b.report = func(_ int, line string) string {
		nozzle, _, _ := strings.Cut(line, " B:")
		if bed := said.Load().(string); bed != "" {
			return nozzle + " " + bed
		}
		return fmt.Sprintf("%s B:60.0 /%.1f", nozzle, b.bedTargetC)
	}
	if err := m.SetBed(t.Context(), 60); err != nil {
		t.Fatal(err)
	}
	return b, m, func(to string) { said.Store(to) }
}

// watchers are all that may go on while a bed of ours is warm.
var watchers = map[string]func(context.Context, *Machine) error{
	"a wait for the bed": func(ctx context.Context, m *Machine) error { return m.WaitBed(ctx, 60) },
	"a wait for the nozzle": func(ctx context.Context, m *Machine) error {
		return errors.Join(m.SetNozzle(ctx, 250), m.WaitNozzle(ctx, 250))
	},
	"a feed":   func(ctx context.Context, m *Machine) error { _, _, err := m.Feed(ctx, 60, 1, nil); return err },
	"a stream": func(ctx context.Context, m *Machine) error { _, err := m.Stream(ctx, slow(300), nil); return err },
	"a question": func(ctx context.Context, m *Machine) error {
		v := m.Vigil()
		for range 60 {
			if err := errors.Join(v.Look(ctx), m.pause(ctx, time.Second)); err != nil {
				return err
			}
		}
		return nil
	},
}

func TestTheBedIsWatchedWhateverGoesOn(t *testing.T) {
	for name, goOn := range watchers {
		for bed, want := range map[string]HeatFault{"": "", "B:60.0 /0.0": SwitchedOff, "B:60.0 /120.0": WrongTarget, "B:130.0 /60.0": AboveCap, "B:-20.0 /60.0": Implausible} {
			synctest.Test(t, func(t *testing.T) {
				b, m, bends := warmBench(t)
				time.AfterFunc(5500*time.Millisecond, func() { bends(bed) })
				err := goOn(t.Context(), m)
				var fault *HeatError
				if errors.As(err, &fault) != (want != "") || (want != "" && fault.Fault != want) || (want == "" && err != nil) {
					t.Errorf("%s, %q: %v, want %q", name, bed, err, want)
				}
				if took := b.elapsed(); want != "" && took > 8*time.Second {
					t.Errorf("%s, %q: acted upon after %v", name, bed, took)
				}
				if again := b.count("M140 S60") - 1; again > 1 || (again == 1) != (want == WrongTarget) {
					t.Errorf("%s, %q: sent %d times more", name, bed, again)
				}
			})
		}
	}
}

// Whose bed a person typed is their own business at the panel, up to its limit.
func TestATypedBedIsHeldToItsLimitAlone(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		_, m, bends := warmBench(t)
		if _, err := m.Single(t.Context(), "M140 S60", true); err != nil {
			t.Fatal(err)
		}
		bends("B:60.0 /0.0")
		if err := watchers["a stream"](t.Context(), m); err != nil {
			t.Error(err)
		}
		bends("B:130.0 /0.0")
		if err := watchers["a stream"](t.Context(), m); err == nil {
			t.Error("130 °C were let pass")
		}
	})
}

// A stop overrules the bed's target, and no watch sends it again.
func TestAStopOfTheBedIsNotUndone(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, m, _ := warmBench(t)
		m.Stop()
		if err := watchers["a question"](t.Context(), m); err != nil || b.count("M140 S60") != 1 || b.bedTargetC != 0 {
			t.Errorf("%v; target %g °C, sent %d times", err, b.bedTargetC, b.count("M140 S60"))
		}
	})
}

// A bed that was warm before the program began is warmed again behind a pause in which it was let go cold.
func TestABedHeatedBeforehandIsWarmedAgain(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, m, _ := warmBench(t)
		s := &told60{bench: b}
		m.line = s
		held := false
		_, err := m.Stream(t.Context(), slow(50), func(ctx context.Context, done gcode.Extent) error {
			if done.Lines != 20 || held {
				return nil
			}
			held = true
			m.Off(ctx)
			time.Sleep(20 * time.Minute)
			return errors.Join(m.SetNozzle(ctx, 205), m.WaitNozzle(ctx, 205))
		})
		if err != nil || b.bedTargetC != 60 || b.count("M140 S60") != 2 {
			t.Errorf("%v; target %g °C, sent %d times", err, b.bedTargetC, b.count("M140 S60"))
		}
	})
}

// told60 is a line that says of the bed that it is warm.
type told60 struct{ *bench }

func (b *told60) Snapshot() serialio.Snapshot {
	s := b.bench.Snapshot()
	s.Temps.BedC = 60
	return s
}
