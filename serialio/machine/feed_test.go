package machine

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"pgregory.net/rapid"

	"fettle/serialio"
)

// hotBench is a printer that stands at 205 °C, by our own setting.
func hotBench(t *testing.T, speedup float64) (*bench, *Machine) {
	t.Helper()
	b := newBench()
	b.nozzleC, b.e, b.feedRelative = 205, 17, true // what somebody left behind
	m := b.machine(speedup)
	if err := m.SetNozzle(t.Context(), 205); err != nil {
		t.Fatal(err)
	}
	return b, m
}

// moves are the lines of a feed without the polls.
func moves(b *bench) []string {
	return slices.DeleteFunc(b.lines(), func(l string) bool { return l == "M105" || strings.HasPrefix(l, "M104") })
}

func TestFeedLineByLine(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, m := hotBench(t, 1)
		var fed []float64
		commanded, remarks, err := m.Feed(t.Context(), 10, 0.831, func(mm float64) { fed = append(fed, mm) })
		if commanded != 10 || len(remarks) > 0 || err != nil {
			t.Fatalf("%g, %q, %v", commanded, remarks, err)
		}
		// 10 mm at 0.831 mm/s are 12.03 s: seven pieces. 0.831 mm/s x 60 = 49.86 mm/min
		want := []string{"G21", "M82", "G92 E0", "G1 E1.429 F49.86", "G1 E2.857 F49.86", "G1 E4.286 F49.86", "G1 E5.714 F49.86",
			"G1 E7.143 F49.86", "G1 E8.571 F49.86", "G1 E10 F49.86", "M400", "M114"}
		if got := moves(b); !slices.Equal(got, want) {
			t.Errorf("sent\n%v\nwant\n%v", got, want)
		}
		if took := b.elapsed().Seconds(); math.Abs(took-10/0.831) > 0.01 {
			t.Errorf("took %.2f s", took)
		}
		if !slices.IsSorted(fed) || fed[0] != 0 || fed[len(fed)-1] != 10 || len(fed) < 10 {
			t.Errorf("progress %v", fed)
		}
		for i, line := range b.lines() {
			if gap := b.when[i] - b.when[max(0, i-1)]; gap > 4*time.Second || (gap > time.Second && line != "M114") {
				t.Errorf("nothing was asked for %v before %s", gap, line)
			}
		}
	})
}

// Whatever is fed: pieces of at most 2 s, at most 4 s of them ahead, never run dry, ending where commanded.
func TestFeedIsNeverBehindAnythingLong(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		length := round(rapid.Float64Range(0.001, 150).Draw(rt, "length"), 3)
		speed := rapid.Float64Range(minFeedMMPerS, shop.FeedMaxMMPerS).Draw(rt, "speed")
		var b *bench
		var commanded float64
		var err error
		synctest.Test(t, func(t *testing.T) {
			var m *Machine
			b, m = hotBench(t, 1)
			commanded, _, err = m.Feed(t.Context(), length, speed, nil)
		})
		if err != nil || commanded != length || b.e != length {
			rt.Fatalf("commanded %g, at %g: %v", commanded, b.e, err)
		}
		if b.fastestMMPerS > speed {
			rt.Fatalf("fed at %g mm/s", b.fastestMMPerS)
		}
		slack := 0.002 / speed // E is rounded to 1 µm
		if b.longestS > 2+slack || b.maxAheadS > 4+slack || b.longestDryS > 0.01+slack {
			rt.Fatalf("a piece of %.4f s, %.4f s ahead, dry for %.4f s", b.longestS, b.maxAheadS, b.longestDryS)
		}
		for _, line := range b.sent {
			if len(line) > maxBlockBytes {
				rt.Fatalf("%q is %d bytes long", line, len(line))
			}
		}
	})
}

// On a stand-in that runs faster the waits shrink, and nothing else changes.
func TestFeedAtASpeedup(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, m := hotBench(t, 60)
		b.hook = func(block string) ([]string, error, bool) { return nil, nil, block == "M400" }
		if _, _, err := m.Feed(t.Context(), 100, 1, nil); err != nil {
			t.Fatal(err)
		}
		// the last piece goes when 4 s are ahead of it: at (100 - 4) / 60 s
		if took := b.elapsed().Seconds(); math.Abs(took-96.0/60) > 0.02 {
			t.Errorf("took %.3f s", took)
		}
		if n := b.count("G1"); n != 50 {
			t.Errorf("%d pieces", n)
		}
	})
}

func TestFeedRefusesBeforeAByteLeaves(t *testing.T) {
	for _, c := range []struct {
		length, speed float64
		limits        Limits
	}{
		{0, 1, shop}, {-5, 1, shop}, {0.0004, 1, shop}, {math.NaN(), 1, shop}, {math.Inf(1), 1, shop}, {2001, 1, shop},
		{10, 0, shop}, {10, -1, shop}, {10, math.NaN(), shop}, {10, 5.01, shop}, {10, math.Inf(1), shop}, {10, 0.01, shop},
		{10, 1, Limits{}}, {10, 250, Limits{FeedMaxMMPerS: 1000}}, {10, 1, Limits{FeedMaxMMPerS: math.NaN()}},
	} {
		b := newBench()
		m := b.machine(1)
		m.Limit(c.limits)
		_, _, err := m.Feed(t.Context(), c.length, c.speed, nil)
		var refused *RefusedError
		if !errors.As(err, &refused) || refused.Accept == "" || refused.Why == "" {
			t.Errorf("%g mm at %g mm/s: %v", c.length, c.speed, err)
		}
		if len(b.sent) > 0 {
			t.Errorf("%g mm at %g mm/s: sent %v", c.length, c.speed, b.sent)
		}
	}
}

func TestColdExtrusionPreventedIsNoFeed(t *testing.T) {
	for _, said := range []string{"echo: cold extrusion prevented", "echo:cold extrusion prevented", " Cold extrusion was prevented!"} {
		synctest.Test(t, func(t *testing.T) {
			b, m := hotBench(t, 1)
			b.hook = func(block string) ([]string, error, bool) {
				return []string{said}, nil, strings.HasPrefix(block, "G1")
			}
			_, remarks, err := m.Feed(t.Context(), 100, 2, nil)
			if !errors.Is(err, ErrColdPrevented) || !slices.Equal(remarks, []string{said}) {
				t.Errorf("%q: %v, remarks %q", said, err, remarks)
			}
			if n := b.count("G1"); n != 1 {
				t.Errorf("%d pieces were sent after it", n-1)
			}
		})
	}
}

func TestFeedEndsAtOnceAndSendsNothingMore(t *testing.T) {
	person := errors.New("a person")
	for name, c := range map[string]struct {
		end  func(*Machine, context.CancelCauseFunc)
		want error
	}{
		"the run ends": {func(_ *Machine, cancel context.CancelCauseFunc) { cancel(person) }, person},
		"Stop":         {func(m *Machine, _ context.CancelCauseFunc) { m.Stop() }, serialio.ErrStopped},
	} {
		synctest.Test(t, func(t *testing.T) {
			b, m := hotBench(t, 1)
			ctx, cancel := context.WithCancelCause(t.Context())
			defer cancel(nil)
			ended := make(chan error, 1)
			var commanded float64
			go func() { // ends by the stop
				var err error
				commanded, _, err = m.Feed(ctx, 100, 2, nil)
				ended <- err
			}()
			time.Sleep(10*time.Second + 300*time.Millisecond)
			before := b.lines()
			c.end(m, cancel)
			if err := <-ended; !errors.Is(err, c.want) {
				t.Errorf("%s: %v", name, err)
			}
			if len(b.lines()) != len(before) || b.elapsed() != 10*time.Second+300*time.Millisecond {
				t.Errorf("%s: sent %v", name, b.lines()[len(before):])
			}
			if commanded != b.e || commanded >= 100 {
				t.Errorf("%s: commanded %g, the printer has %g", name, commanded, b.e)
			}
		})
	}
}

func TestHeatIsWatchedDuringAFeed(t *testing.T) {
	for _, c := range []struct {
		said  string
		fault HeatFault
		sent  int // M104, with the first
	}{
		{"T:205.0 /0.0", SwitchedOff, 1}, // not ours to switch on again
		{"T:205.0 /150.0", WrongTarget, 2},
		{"T:280.0 /205.0", AboveCap, 1},
		{"T:nan /205.0", NoReading, 1},
	} {
		synctest.Test(t, func(t *testing.T) {
			b, m := hotBench(t, 1)
			b.report = func(n int, honest string) string {
				if n > 5 {
					return c.said
				}
				return honest
			}
			_, _, err := m.Feed(t.Context(), 100, 2, nil)
			var fault *HeatError
			if !errors.As(err, &fault) || fault.Fault != c.fault {
				t.Errorf("%q: %v", c.said, err)
			}
			if n := b.count("M104"); n != c.sent {
				t.Errorf("%q: M104 was sent %d times", c.said, n)
			}
		})
	}
}

func TestAColdFeedNeedsNoHeat(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench()
		m := b.machine(1)
		if err := m.Off(t.Context()); err != nil {
			t.Fatal(err)
		}
		if _, _, err := m.Feed(t.Context(), 100, 1, nil); err != nil {
			t.Error(err)
		}
		if b.targetC != 0 {
			t.Errorf("target %g", b.targetC)
		}
	})
}

func TestThePositionIsCheckedWhereItIsSaid(t *testing.T) {
	for _, c := range []struct {
		said string
		ok   bool
	}{
		{"X:0.00 Y:0.00 Z:0.00 E:12.35 Count X:0 Y:0 Z:0", true}, // 12.345 to two decimals
		{"X:0.00 Y:0.00 Z:0.00 E:12.3 Count X:0 Y:0 Z:0", true},
		{"X:0.00 Y:0.00 Z:0.00 E:12.37 Count X:0 Y:0 Z:0", false},
		{"X:0.00 Y:0.00 Z:0.00 E:0.00 Count X:0 Y:0 Z:0", false},
		{"X:0.00 Y:0.00 Z:0.00", true}, // it does not say
		{"echo:Unknown command: \"M114\"", true},
	} {
		synctest.Test(t, func(t *testing.T) {
			b, m := hotBench(t, 1)
			b.hook = func(block string) ([]string, error, bool) { return []string{c.said}, nil, block == "M114" }
			if _, _, err := m.Feed(t.Context(), 12.345, 2, nil); errors.Is(err, ErrNotFed) == c.ok || (c.ok && err != nil) {
				t.Errorf("%q: %v", c.said, err)
			}
		})
	}
}

func TestAnErrorOfTheLineEndsAFeed(t *testing.T) {
	for _, at := range []string{"G21", "M82", "G92", "M105", "G1", "M400", "M114"} {
		synctest.Test(t, func(t *testing.T) {
			b, m := hotBench(t, 1)
			b.hook = func(block string) ([]string, error, bool) {
				return nil, fmt.Errorf("in mid-run: %w", serialio.ErrRestarted), strings.HasPrefix(block, at)
			}
			if _, _, err := m.Feed(t.Context(), 20, 2, nil); !errors.Is(err, serialio.ErrRestarted) {
				t.Errorf("at %s: %v", at, err)
			}
			if lines := b.lines(); !strings.HasPrefix(lines[len(lines)-1], at) {
				t.Errorf("at %s: went on with %v", at, lines)
			}
		})
	}
}
