package standin

import (
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

const boot = 2 * time.Second // longer than any boot here takes

func TestTemperaturesFromTheStart(t *testing.T) {
	f := New(Profile{ReportsEvery: 3 * time.Second, BootTime: time.Second})
	f.Advance(10 * time.Second)
	if got := strings.Count(string(f.Say()), " T:20.5 /0.0 B:"); got != 3 {
		t.Errorf("%d reports in the 9 s since the boot, want 3", got)
	}
	tell(f, "M155 S0")
	f.Advance(time.Minute)
	if said := f.Say(); said != nil {
		t.Errorf("switched off, it said %q", said)
	}
	f.Reset()
	f.Advance(time.Second + 3*time.Second)
	mustSay(t, string(f.Say()), " T:20.5")
}

func TestAnIdlePrinterSaysWaitEachSecond(t *testing.T) {
	f := awake(t, func(p *Profile) { p.WaitsAloud = true })
	f.Advance(5 * time.Second)
	if said := string(f.Say()); said != "wait\nwait\nwait\nwait\nwait\n" {
		t.Errorf("said %q", said)
	}
	if said := tell(f, "G4 S10"); strings.Contains(said, "wait") {
		t.Errorf("a line was in hand, and it said %q", said)
	}
	f.Advance(999 * time.Millisecond)
	f.Say()
	tell(f, "M105")
	f.Advance(999 * time.Millisecond)
	if said := f.Say(); said != nil {
		t.Errorf("too early: %q", said)
	}
	f.Advance(time.Millisecond)
	mustSay(t, string(f.Say()), "wait\n")
	tell(f, "M112")
	f.Advance(time.Minute)
	if said := f.Say(); said != nil {
		t.Errorf("halted, it said %q", said)
	}
}

func TestATalkativePrinterRemarksAtSeededMoments(t *testing.T) {
	run := func(seed uint64) (lines []string, between int) {
		f := awake(t, func(p *Profile) { p.RemarksEvery, p.Seed = 10*time.Second, seed })
		for range 200 {
			f.Advance(time.Second)
			lines = append(lines, strings.Split(strings.TrimSpace(string(f.Say())), "\n")...)
			said := tell(f, "M82")
			if lines = append(lines, said); said != "ok\n" {
				between++
			}
		}
		return slices.DeleteFunc(lines, func(l string) bool { return l == "" || l == "ok\n" }), between
	}
	first, between := run(1)
	mustBe(t, "oks of 200 with a remark before them", float64(between), 200.0/oftenBeforeOK, 15)
	mustBe(t, "remarks in 200 s beside those", float64(len(first)-between), 20, 10)
	if again, _ := run(1); !slices.Equal(first, again) {
		t.Error("the same seed gave other remarks")
	}
	if other, _ := run(2); slices.Equal(first, other) {
		t.Error("another seed gave the same remarks")
	}
	for _, l := range first {
		if l = strings.TrimSuffix(l, "\nok\n"); !strings.HasPrefix(l, "//") && !strings.HasPrefix(l, "echo:") {
			t.Errorf("%q is no remark", l)
		}
	}
}

// talkative does all at once.
var talkative = Profile{Greets: true, ReportsEvery: 700 * time.Millisecond, RemarksEvery: time.Second, WaitsAloud: true,
	CRLF: true, OKFields: true, ReadingsFirst: true, Tools: 3, ToolSettings: true}

// However time is cut, and whether or not its lines are, a printer says the same.
func TestPausesChangeNothingOfWhatIsSaid(t *testing.T) {
	say := func(p Profile, piece func() time.Duration) string {
		f := New(p)
		var said strings.Builder
		script := []string{"", "", "M105\n", "M503\nG4 S3\nM105\n", "N7 M105*1\n", "M155 S1\n", "M104 S200\nG28 Z\n", "M114\nM115\n"}
		for _, lines := range script {
			f.Hear([]byte(lines))
			for left := 2 * time.Second; left > 0; {
				dt := min(piece(), left)
				f.Advance(dt)
				said.Write(f.Say())
				left -= dt
			}
		}
		for due, any := f.mouth.due(f.now), f.mouth.waiting() > 0; any; due, any = f.mouth.due(f.now), f.mouth.waiting() > 0 {
			f.now = due // no time for anything new
			said.Write(f.Say())
		}
		return said.String()
	}
	whole := say(talkative, func() time.Duration { return time.Hour })
	mustSay(t, whole, "start\r\n", "\r\nwait\r\n", "Resend: ", "\r\n T0:", "M92 T2 E93.00")
	rapid.Check(t, func(t *rapid.T) {
		p := talkative
		p.LongestPause = time.Duration(rapid.IntRange(0, 2e8).Draw(t, "pause"))
		span := rapid.SampledFrom([]int{7e7, 1e8, 3e9}).Draw(t, "ns")
		got := say(p, func() time.Duration { return time.Duration(rapid.IntRange(span/10, span).Draw(t, "dt")) })
		if got != whole {
			t.Fatalf("pause %v: said %q, want %q", p.LongestPause, got, whole)
		}
	})
}
