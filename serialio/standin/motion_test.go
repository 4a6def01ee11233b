package standin

import (
	"strings"
	"testing"
	"time"
)

func TestWordsOfMotionMoveTheHead(t *testing.T) {
	for name, c := range map[string]struct {
		lines string
		want  [3]float64 // from home
	}{
		"absolute":           {"G1 X10 Y20 F6000|G1 X5", [3]float64{5, 20, 0}},
		"relative":           {"G91|G1 X10 F6000|G1 X10", [3]float64{20, 0, 0}},
		"back to absolute":   {"G91|G1 X10 F6000|G90|G1 X3", [3]float64{3, 0, 0}},
		"renamed":            {"G1 X10 F6000|G92 X0|G1 X10", [3]float64{20, 0, 0}},
		"renamed all":        {"G1 X10 Y10 F6000|G92|G1 X1 Y1", [3]float64{11, 11, 0}},
		"homed again":        {"G1 X10 Y10 Z5 F6000|G28 X", [3]float64{0, 10, 5}},
		"relative E, only E": {"M83|G1 X10 F6000|G1 X4", [3]float64{4, 0, 0}},
	} {
		f := awake(t, nil)
		tell(f, "G28")
		tell(f, append(strings.Split(c.lines, "|"), "M400")...)
		for i, at := range f.Snapshot().HeadMM {
			mustBe(t, name+" "+axes[i:i+1], at, c.want[i], 1e-9)
		}
	}
}

func TestHomingStartsFromWhereTheHeadReallyIs(t *testing.T) {
	f := awake(t, func(p *Profile) { p.HeadMM = [3]float64{100, 0, 0} })
	mustSay(t, tell(f, "M114"), "X:0.00 Y:0.00 Z:0.00 E:0.00 Count X:0 Y:0 Z:0\n")
	before := f.Snapshot().Now
	said := tell(f, "G28 X")
	mustSay(t, said, "echo:busy: processing\nok\n")
	mustBe(t, "seconds from 100 mm at 50 mm/s", (f.Snapshot().Now - before).Seconds(), 2.6, 0.2)
	mustSay(t, tell(f, "G1 X2 F6000", "M400", "M114"), "X:2.00 Y:0.00 Z:0.00 E:0.00 Count X:160 Y:0 Z:0\n")
}

// An ok is given when a move is queued, so a queue that is full holds the line back until the first move has ended.
func TestTheQueueHoldsLinesBackOnlyWhenItIsFull(t *testing.T) {
	f := awake(t, func(p *Profile) { p.PlannerMoves = 4; p.ReceiveBytes = 1024 })
	f.Hear([]byte("G91\n" + strings.Repeat("G1 X1 F60\n", 6)))
	if got := strings.Count(string(f.Say()), "ok\n"); got != 1+4 {
		t.Errorf("%d lines answered at once, want 5", got)
	}
	f.Advance(1100 * time.Millisecond)
	if got := strings.Count(string(f.Say()), "ok\n"); got != 1 {
		t.Errorf("%d lines answered after the first move, want 1", got)
	}
	if s := f.Snapshot(); s.Queued != 4 || !s.Waiting {
		t.Errorf("queued %d, waiting %v", s.Queued, s.Waiting)
	}
}

func TestBusyIsSaidEveryTwoSecondsWhileALineTakesLong(t *testing.T) {
	for _, line := range []string{"G4 S9", "G4 P9000"} {
		f := awake(t, nil)
		f.Hear([]byte(line + "\n"))
		f.Advance(8999 * time.Millisecond)
		if said := string(f.Say()); said != strings.Repeat("echo:busy: processing\n", 4) {
			t.Errorf("%s: said %q in 8.999 s", line, said)
		}
		f.Advance(time.Millisecond)
		if said := string(f.Say()); said != "ok\n" {
			t.Errorf("%s: said %q at 9 s", line, said)
		}
	}
	quiet := awake(t, func(p *Profile) { p.BusyEvery = -1 })
	if said := tell(quiet, "G4 S9"); said != "ok\n" {
		t.Errorf("a quiet printer said %q", said)
	}
}

func TestAQuickStopLeavesTheHeadWhereItIs(t *testing.T) {
	for _, emergency := range []bool{true, false} {
		f := awake(t, func(p *Profile) { p.NoEmergency = !emergency })
		f.Hear([]byte("G91\nG1 X100 F600\nG1 X100\n"))
		f.Advance(5 * time.Second)
		f.Hear([]byte("M410\n"))
		f.Advance(10 * time.Second)
		s := f.Snapshot()
		mustBe(t, "X after 5 s at 10 mm/s", s.Position[0], 50, 0.1)
		mustBe(t, "head", s.HeadMM[0]-80, s.Position[0], 1e-9)
		if s.Queued != 0 {
			t.Errorf("%d moves queued after a quick stop", s.Queued)
		}
	}
}

func TestDueNamesTheNextThingThatIsSaid(t *testing.T) {
	f := New(Invented())
	if due, any := f.Due(); !any || due != 1500*time.Millisecond {
		t.Errorf("while booting due in %v, %v", due, any)
	}
	f.Advance(2 * time.Second)
	if due, any := f.Due(); any {
		t.Errorf("idle, and due in %v", due)
	}
	f.Hear([]byte("G4 S1\n"))
	if due, _ := f.Due(); due != time.Second {
		t.Errorf("dwelling, and due in %v", due)
	}
}
