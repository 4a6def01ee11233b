package machine

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"fettle/serialio"
	"fettle/serialio/gcode"
)

// sentOf is what a bench was sent, without the polls.
func sentOf(b *bench) []string {
	return slices.DeleteFunc(b.lines(), func(l string) bool { return l == "M105" })
}

func TestStreamLineByLine(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench()
		m := b.machine(1)
		lines := []string{"G28", "M83", "G1 X30 Y40 F3000", "G1 X60 E0.5", "M107"}
		var told []gcode.Extent
		done, err := m.Stream(t.Context(), programOf(t, lines...), func(_ context.Context, done gcode.Extent) error {
			told = append(told, done)
			return nil
		})
		want := slices.Concat([]string{"G21", "G90", "M82", "G92 E0", "M114"}, lines[:1], []string{"M114"}, lines[1:], []string{"M400"})
		if got := sentOf(b); err != nil || !slices.Equal(got, want) {
			t.Fatalf("%v: sent\n%v\nwant\n%v", err, got, want)
		}
		if done.Lines != 5 || done.OfLines != 5 || done.Unsure != 0 || done.Bytes != int64(len(strings.Join(lines, "\n"))+1) || len(done.Remarks) > 0 {
			t.Errorf("%+v", done)
		}
		if len(told) != 5 || told[0].Lines != 0 || told[4].Lines != 4 || told[4].Lasts != 1600*time.Millisecond { // 50 and 30 mm at 50 mm/s
			t.Errorf("told %+v", told)
		}
	})
}

func TestStreamSendsNoSecondM400(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench()
		if _, err := b.machine(1).Stream(t.Context(), programOf(t, "G1 F600", "M400"), nil); err != nil || b.count("M400") != 1 {
			t.Errorf("%v, %v", err, b.lines())
		}
	})
}

// Heat is asked for about once a second, however long or short the moves are, and no more than 4 s of them are ahead.
func TestStreamPollsAndIsNeverFarAhead(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, m := hotBench(t, 1)
		p := gcode.Program{Steps: func(yield func(gcode.Step) bool) {
			for i := range 60 { // the bench stands at 0, and says so
				to := float64(10 + 100*(i%2))
				if !yield(gcode.Step{Block: block("G1", 'X', to, 'F', float64(1800+600*(i%17)))}) {
					return
				}
			}
		}}
		done, err := m.Stream(t.Context(), p, nil)
		if err != nil || done.Lines != 60 {
			t.Fatal(done, err)
		}
		var last time.Duration
		for i, l := range b.lines() {
			if l != "M105" {
				continue
			}
			if gap := b.when[i] - last; gap > 2*time.Second {
				t.Errorf("%v without a look at the heat", gap)
			}
			last = b.when[i]
		}
		if b.maxAheadS > 4+1e-6 {
			t.Errorf("%.2f s ahead", b.maxAheadS)
		}
		if b.longestDryS > 0.01 {
			t.Errorf("dry for %.3f s", b.longestDryS)
		}
	})
}

func TestStreamEndsWithAHeatFault(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, m := hotBench(t, 1)
		b.report = func(n int, line string) string {
			if n > 5 {
				return "T:300.0 /205.0 B:21.0 /0.0"
			}
			return line
		}
		done, err := m.Stream(t.Context(), slow(200), nil)
		var fault *HeatError
		if !errors.As(err, &fault) || fault.Fault != AboveCap || done.Lines == 0 || done.Lines > 40 || done.Unsure != 0 {
			t.Errorf("%+v, %v", done, err)
		}
		if want := fmt.Sprintf("ended after %d of 200 lines, the last 0 of them not proven: ", done.Lines); !strings.HasPrefix(err.Error(), want) {
			t.Errorf("it says %q", err)
		}
	})
}

// slow is a program of moves that last 0.2 s each.
func slow(lines int) gcode.Program {
	return gcode.Program{Steps: func(yield func(gcode.Step) bool) {
		for i := range lines {
			if !yield(gcode.Step{Block: block("G1", 'X', float64(100+10*(i%2)), 'F', 3000.0)}) {
				return
			}
		}
	}}
}

// A target that the program itself sets is watched for from then on, and what was right before is a fault.
func TestStreamWatchesItsOwnHeat(t *testing.T) {
	for _, arrives := range []bool{true, false} {
		synctest.Test(t, func(t *testing.T) {
			b, m := hotBench(t, 1)
			if !arrives {
				b.report = func(n int, line string) string { return strings.Replace(line, "/215.0", "/205.0", 1) }
			}
			p := gcode.Program{Steps: func(yield func(gcode.Step) bool) {
				if yield(gcode.Step{Block: block("M104", 'S', 215.0)}) {
					slow(100).Steps(yield)
				}
			}}
			_, err := m.Stream(t.Context(), p, nil)
			var fault *HeatError
			if arrives && err != nil || !arrives && (!errors.As(err, &fault) || fault.Fault != WrongTarget || b.count("M104 S215") != 2) {
				t.Errorf("arrives %t: %v, %d times", arrives, err, b.count("M104 S215"))
			}
			if c, ok := m.Aim(); arrives && (!ok || c != 215) {
				t.Errorf("aims at %g %t", c, ok)
			}
		})
	}
}

// A held program asks for nothing and loses nothing; heat is watched anew behind the pause, whatever happened to it.
func TestStreamIsHeldBetweenTwoLines(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, m := hotBench(t, 1)
		held := false
		done, err := m.Stream(t.Context(), slow(50), func(ctx context.Context, done gcode.Extent) error {
			if done.Lines != 20 || held {
				return nil
			}
			held = true
			before := len(b.lines())
			m.Off(ctx)
			time.Sleep(20 * time.Minute)
			if sent := b.lines()[before:]; slices.ContainsFunc(sent, func(l string) bool { return l[0] == 'G' }) {
				t.Errorf("while it was held: %v", sent)
			}
			return errors.Join(m.SetNozzle(ctx, 205), m.WaitNozzle(ctx, 205))
		})
		if err != nil || done.Lines != 50 || done.PausedS < 1200 || done.TookS-done.PausedS > 15 || done.SlowestMS > 10_000 {
			t.Errorf("%+v, %v", done, err)
		}
		if n := b.count("G1"); n != 50 {
			t.Errorf("%d moves were sent", n)
		}
		refused := errors.New("no")
		if _, err := m.Stream(t.Context(), slow(5), func(context.Context, gcode.Extent) error { return refused }); !errors.Is(err, refused) {
			t.Error(err)
		}
	})
}

func TestAStopEndsAStream(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, m := hotBench(t, 1)
		time.AfterFunc(3*time.Second, m.Stop)
		done, err := m.Stream(t.Context(), slow(500), nil)
		if !errors.Is(err, serialio.ErrStopped) || done.Lines > 40 || done.Lines < 10 {
			t.Errorf("%+v, %v", done, err)
		}
		moves := b.count("G1")
		time.Sleep(time.Minute)
		if b.count("G1") != moves || moves > done.Lines+1 {
			t.Errorf("%d lines told, %d sent", done.Lines, b.count("G1"))
		}
	})
}

// Lines that a break leaves without proof are told, as the line counts them.
func TestStreamSaysHowManyLinesNothingProves(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := &breaking{bench: newBench(), unsure: 7}
		m := New(b, 1)
		m.Limit(shop)
		sent := 0
		b.hook = func(block string) ([]string, error, bool) {
			if block[0] == 'G' && strings.Contains(block, "X") {
				sent++
			}
			if sent < 30 {
				return nil, nil, false
			}
			b.breaks = 1
			return nil, fmt.Errorf("%w: pulled out", serialio.ErrUnplugged), true
		}
		done, err := m.Stream(t.Context(), slow(100), nil)
		if !errors.Is(err, serialio.ErrUnplugged) || done.Lines != 29 || done.Unsure != 7 || !strings.Contains(err.Error(), "ended after 29 of 100 lines, the last 7 of them not proven") {
			t.Errorf("%+v, %v", done, err)
		}
	})
}

// breaking is a line that says what a break left without proof.
type breaking struct {
	*bench
	breaks, unsure int
}

func (b *breaking) Snapshot() serialio.Snapshot {
	s := b.bench.Snapshot()
	s.Breaks, s.Unsure = b.breaks, b.unsure
	return s
}

// What passes once need not come a second time: each line is held to the limits right before it goes.
func TestStreamVetsAgainLineByLine(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench()
		m := b.machine(1)
		pulls := 0
		p := gcode.Program{Steps: func(yield func(gcode.Step) bool) {
			pulls++
			blocks := []gcode.Block{block("G1", 'F', 600.0), block("G1", 'X', 5.0, 'F', 6000.0)}
			if pulls > 1 {
				blocks[1] = block("M109", 'S', 200.0)
			}
			_ = yield(gcode.Step{Block: blocks[0]}) && yield(gcode.Step{Block: blocks[1]})
		}}
		var refused *RefusedLine
		if done, err := m.Stream(t.Context(), p, nil); pulls != 2 || !errors.As(err, &refused) || refused.Line != 2 || done.Lines != 1 {
			t.Errorf("%d pulls: %+v, %v", pulls, done, err)
		}
		lowered := func(_ context.Context, done gcode.Extent) error {
			if done.Lines == 3 {
				m.Limit(Limits{})
			}
			return nil
		}
		if done, err := m.Stream(t.Context(), slow(10), lowered); !errors.As(err, &refused) || refused.Line != 4 || done.Lines != 3 {
			t.Errorf("%+v, %v", done, err)
		}
		before := len(b.lines())
		if _, err := b.machine(1).Stream(t.Context(), programOf(t, "G1 F600", "M190 S60"), nil); err == nil || len(b.lines()) != before {
			t.Errorf("%v; sent %v", err, b.lines()[before:])
		}
	})
}

// The printer itself says where homing left the head: a move that Vet takes to be short is then held for what it is.
func TestStreamAsksWhereHomingLeftTheHead(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench()
		b.hook = func(block string) ([]string, error, bool) {
			if block == "G28" {
				b.z = 200
			}
			return nil, nil, false
		}
		var refused *RefusedLine
		done, err := b.machine(1).Stream(t.Context(), programOf(t, "G28", "G1 Z0.2 F300"), nil)
		if !errors.As(err, &refused) || refused.Line != 2 || !strings.Contains(refused.Why, "40 s") || done.Lines != 1 {
			t.Errorf("%+v, %v", done, err)
		}
	})
}

func TestAColdStreamEnds(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench()
		b.hook = func(block string) ([]string, error, bool) {
			return []string{"echo: cold extrusion prevented"}, nil, strings.Contains(block, "E0.5")
		}
		done, err := b.machine(1).Stream(t.Context(), programOf(t, "M83", "G28", "G1 X5 F600", "G1 X10 E0.5", "G1 X15 E0.5"), nil)
		if !errors.Is(err, ErrColdPrevented) || done.Lines != 3 || !slices.Equal(done.Remarks, []string{"echo: cold extrusion prevented"}) {
			t.Errorf("%+v, %v", done, err)
		}
	})
}
