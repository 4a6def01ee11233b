package machine

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"fettle/serialio"
)

func TestWaitNozzlePollsEachSecondUntilThreeReadingsAgree(t *testing.T) {
	for _, speedup := range []float64{0, 1, 25} {
		synctest.Test(t, func(t *testing.T) {
			b := newBench()
			scale := max(1, speedup)
			b.riseCPerS *= scale
			m := b.machine(speedup)
			if err := m.SetNozzle(t.Context(), 205); err != nil {
				t.Fatal(err)
			}
			if err := m.WaitNozzle(t.Context(), 205); err != nil {
				t.Fatal(err)
			}
			if b.nozzleC < 203 {
				t.Errorf("returned at %.1f °C", b.nozzleC)
			}
			// (205 - 2 - 21) / 3 = 60.7 s to the band, then two more readings
			if took := b.elapsed().Seconds() * scale; took < 62 || took > 64.1 {
				t.Errorf("speedup %g: took %.2f s of printer time", speedup, took)
			}
			for i, line := range b.lines() {
				if i > 0 && line != "M105" {
					t.Errorf("sent %q while waiting", line)
				}
				if gap := b.when[i] - b.when[max(0, i-1)]; i > 1 && gap != time.Duration(float64(time.Second)/scale) {
					t.Errorf("poll %d came %v after the last", i, gap)
				}
			}
		})
	}
}

func TestHeatFaults(t *testing.T) {
	say := func(f string, a ...any) func(int, string) string {
		return func(int, string) string { return fmt.Sprintf(f, a...) }
	}
	from := func(n int, line string) func(int, string) string {
		return func(i int, honest string) string {
			if i >= n {
				return line
			}
			return honest
		}
	}
	for _, c := range []struct {
		name         string
		fault        HeatFault
		after        float64 // s, when it must be noticed
		riseCPerS    float64
		report       func(int, string) string
		targetC, atC float64
	}{
		{"loose heater", NoRise, 60, 0.3, nil, 205, 21},
		{"loose sensor", Frozen, 30, 0, nil, 205, 21},
		{"weak heater", TooSlow, 901, 3, func(n int, _ string) string {
			return fmt.Sprintf("T:%.1f /250.0", min(20+float64(n), 230+0.1*float64(n%2)))
		}, 250, 21},
		{"too hot", AboveCap, 11, 3, from(11, "T:261.0 /205.0"), 205, 240},
		{"runs away", OverTarget, 14, 3, func(n int, _ string) string { return fmt.Sprintf("T:%d /205.0", 210+2*min(n, 8)) }, 205, 21},
		{"rises from hot", OverTarget, 11, 3, func(n int, _ string) string { return fmt.Sprintf("T:%d /205.0", 230+2*n) }, 205, 230},
		{"stays hot", OverTarget, 11, 3, say("T:226.0 /205.0"), 205, 226},
		{"jump", Jump, 21, 3, from(21, "T:150.0 /205.0"), 205, 21},
		{"open sensor", Implausible, 1, 3, say("T:-15.0 /205.0"), 205, 21},
		{"another target", WrongTarget, 1, 3, say("T:21.0 /250.0"), 205, 21},
		{"whole degrees off", WrongTarget, 1, 3, say("T:21.0 /204.0"), 205, 21},
		{"off at the panel", SwitchedOff, 11, 3, from(11, "T:50.0 /0.0"), 205, 21},
		{"nothing to read", NoReading, 10, 3, say("echo:later"), 205, 21},
		{"not a number", NoReading, 1, 3, say("T:nan /205.0"), 205, 21},
	} {
		synctest.Test(t, func(t *testing.T) {
			b := newBench()
			b.riseCPerS, b.report, b.nozzleC = c.riseCPerS, c.report, c.atC
			m := b.machine(1)
			if err := m.SetNozzle(t.Context(), c.targetC); err != nil {
				t.Fatal(err)
			}
			err := m.WaitNozzle(t.Context(), c.targetC)
			var fault *HeatError
			if !errors.As(err, &fault) || fault.Fault != c.fault {
				t.Fatalf("%s: %v, want %q", c.name, err, c.fault)
			}
			if took := b.elapsed().Seconds(); took < c.after-0.5 || took > c.after+2 {
				t.Errorf("%s: noticed after %.1f s, want about %g", c.name, took, c.after)
			}
			if fault.Error() == "" || fault.TargetC != c.targetC {
				t.Errorf("%s: %+v", c.name, fault)
			}
			if n := b.count("M109") + b.count("M190") + b.count("G4"); n > 0 {
				t.Errorf("%s: sent a blocking word: %v", c.name, b.lines())
			}
		})
	}
}

func TestOneDamagedReportStopsNothing(t *testing.T) {
	for _, damaged := range []string{"T:20 /205.0", "T:2050.0 /205.0", "T:-50.0 /205.0", "T:100.0 /25.0", "T:100.0 /0.0", "T:nan /205.0", "?"} {
		for _, n := range []int{1, 2, 20, 62} {
			synctest.Test(t, func(t *testing.T) {
				b := newBench()
				b.report = func(i int, honest string) string {
					if i == n {
						return damaged
					}
					return honest
				}
				m := b.machine(1)
				if err := errors.Join(m.SetNozzle(t.Context(), 205), m.WaitNozzle(t.Context(), 205)); err != nil {
					t.Errorf("%q as report %d: %v", damaged, n, err)
				}
			})
		}
	}
}

func TestATargetThatDidNotArriveIsSentOnceMore(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench()
		sent := 0
		b.hook = func(block string) ([]string, error, bool) {
			if strings.HasPrefix(block, "M104") {
				sent++
			}
			return nil, nil, sent == 1 && strings.HasPrefix(block, "M104") // the first one is lost
		}
		m := b.machine(1)
		if err := errors.Join(m.SetNozzle(t.Context(), 205), m.WaitNozzle(t.Context(), 205)); err != nil {
			t.Fatal(err)
		}
		if n := b.count("M104 S205"); n != 2 {
			t.Errorf("M104 was sent %d times", n)
		}
	})
}

func TestAStopIsNotUndone(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench()
		m := b.machine(1)
		if err := m.SetNozzle(t.Context(), 205); err != nil {
			t.Fatal(err)
		}
		m.Stop() // nothing is in flight: no line tells anyone
		if err := m.WaitNozzle(t.Context(), 205); err == nil {
			t.Error("waited to the end behind a stop")
		}
		if n := b.count("M104 S205"); n != 1 || b.targetC != 0 {
			t.Errorf("M104 S205 was sent %d times, the target is %g", n, b.targetC)
		}
	})
}

func TestAStopBetweenTwoPollsEndsTheWait(t *testing.T) {
	for _, c := range []struct {
		end  func(*Machine)
		want error
	}{{(*Machine).Stop, serialio.ErrStopped}, {(*Machine).Halt, serialio.ErrHalted}} {
		synctest.Test(t, func(t *testing.T) {
			b := newBench()
			m := b.machine(1)
			if err := m.SetNozzle(t.Context(), 205); err != nil {
				t.Fatal(err)
			}
			ended := make(chan error, 1)
			go func() { ended <- m.WaitNozzle(t.Context(), 205) }() // ends by the stop
			time.Sleep(10*time.Second + 500*time.Millisecond)
			before := len(b.lines())
			c.end(m)
			if err := <-ended; !errors.Is(err, c.want) {
				t.Errorf("ended with %v, want %v", err, c.want)
			}
			if b.elapsed() != 10*time.Second+500*time.Millisecond || len(b.lines()) != before {
				t.Errorf("ended late, at %v, or sent more: %v", b.elapsed(), b.lines()[before:])
			}
		})
	}
}

func TestOff(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench()
		b.targetC, b.bedTargetC, b.nozzleC = 205, 60, 200
		stubborn := 0
		b.report = func(_ int, honest string) string {
			if stubborn++; stubborn <= 3 {
				return "T:200.0 /205.0 B:60.0 /60.0"
			}
			return honest
		}
		if err := b.machine(1).Off(t.Context()); err != nil {
			t.Fatal(err)
		}
		round := []string{"M104 S0", "M140 S0", "M105"}
		if got := b.lines(); !slices.Equal(got, slices.Concat(round, round, round, round, round)) {
			t.Errorf("sent %v", got)
		}
	})
}

func TestOffSaysWhatItCannotConfirm(t *testing.T) {
	for _, line := range []string{"T:200.0 /205.0 B:60.0 /0.0", "T:20.0 /0.0 B:60.0 /60.0", "T:20.0", "echo:nothing"} {
		synctest.Test(t, func(t *testing.T) {
			b := newBench()
			b.report = func(int, string) string { return line }
			if err := b.machine(1).Off(t.Context()); !errors.Is(err, ErrNotOff) {
				t.Errorf("%q: %v", line, err)
			}
			if s := b.elapsed().Seconds(); s < 60 || s > 62 {
				t.Errorf("gave up after %.1f s", s)
			}
		})
	}
}

func TestOffTriesBothHeatersWhateverTheFirstSays(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench()
		b.hook = func(block string) ([]string, error, bool) {
			switch block {
			case "M140 S0":
				return nil, &serialio.FirmwareError{Text: "no bed"}, true
			case "M105":
				return []string{"T:20.0 /0.0"}, nil, true
			}
			return nil, nil, false
		}
		if err := b.machine(1).Off(t.Context()); err != nil {
			t.Errorf("a printer without a bed: %v", err)
		}
		b.hook = func(string) ([]string, error, bool) { return nil, serialio.ErrOutOfStep, true }
		before := b.count("M140 S0")
		if err := b.machine(1).Off(t.Context()); !errors.Is(err, serialio.ErrOutOfStep) || b.count("M140 S0") != before+1 {
			t.Errorf("%v; the bed was not tried", err)
		}
	})
}

// A question that falls silent is asked again once the line is in step, if the board is still the one that was told.
func TestASilentPollIsNotTheEnd(t *testing.T) {
	for _, c := range []struct {
		name  string
		after func(*bench) // what becomes of the line
		want  error
	}{
		{"in step again", func(b *bench) { b.state = serialio.Listening }, nil},
		{"restarted", func(b *bench) { b.state, b.greetings = serialio.Listening, 2 }, serialio.ErrRestarted},
		{"unplugged", func(b *bench) { b.state = serialio.Unplugged }, serialio.ErrOutOfStep},
		{"never", nil, serialio.ErrOutOfStep},
	} {
		synctest.Test(t, func(t *testing.T) {
			b := newBench()
			polls := 0
			b.hook = func(block string) ([]string, error, bool) {
				if block != "M105" {
					return nil, nil, false
				}
				if polls++; polls != 10 {
					return nil, nil, false
				}
				b.mu.Lock()
				defer b.mu.Unlock()
				b.state, b.news = serialio.OutOfStep, make(chan struct{})
				if c.after != nil {
					time.AfterFunc(3*time.Second, func() {
						b.mu.Lock()
						defer b.mu.Unlock()
						c.after(b)
						close(b.news)
					})
				}
				return nil, serialio.ErrOutOfStep, true
			}
			m := b.machine(1)
			err := errors.Join(m.SetNozzle(t.Context(), 205), m.WaitNozzle(t.Context(), 205))
			if !errors.Is(err, c.want) || (c.want == nil && err != nil) {
				t.Errorf("%s: %v, want %v", c.name, err, c.want)
			}
		})
	}
}
