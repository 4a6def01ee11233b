package standin

import (
	"regexp"
	"strings"
	"testing"
	"time"
)

const (
	readings = `T:20.5 /0.0 B:20.5 /0.0 @:0 B@:0`
	refused  = `^Error:checksum mismatch, Last Line: 0\nResend: 1\nok\n$`
)

// asTold is what each lie looks like to a host that asks for readings, and what is true.
var asTold = map[Lie]struct {
	now, soon, late string // regular expressions; "": nothing is said
	true            func(Snapshot) bool
}{
	Silent:    {true: obeyed(1)},
	Hang:      {true: obeyed(0)},
	Slow:      {soon: `^ok ` + readings, true: obeyed(1)},
	SlowAlive: {late: `^(echo:busy: processing\n){10,45}ok ` + readings, true: obeyed(1)},
	OKEarly:   {now: `^ok\n` + readings + `\n$`, true: obeyed(1)},
	Echo:      {now: `^N1 M105\*38\nok ` + readings, true: obeyed(1)},

	ResendForNothing: {now: refused, true: obeyed(0)},
	ResendBare:       {now: `^Resend: 1\nok\n$`, true: obeyed(0)},
	ResendGarbled:    {now: `^Resend: (1x|100+|-1|NaN|)\nok\n$`, true: obeyed(0)},
	ResendStorm:      {now: refused, soon: `^(Resend: 1\n){38,39}$`, late: `^(Resend: 1\n)+$`, true: obeyed(0)},
	RefusalUnsaid:    {true: obeyed(0)},

	OKLost:         {true: obeyed(1)},
	OKDoubled:      {now: `^(ok ` + readings + `\n){2}$`, true: obeyed(1)},
	OKOlder:        {now: `^ok N0\n$`, true: obeyed(1)},
	OKBehindReport: {now: `^` + readings + `ok ` + readings + `\n$`, true: obeyed(1)},
	OKBeforeReport: {now: `^ok ` + readings + readings + `\n$`, true: obeyed(1)},
	OKSplit:        {now: `^o[^\n]*$`, soon: `\n$`, true: obeyed(1)},
	OKUnended:      {now: `^ok ` + readings + `$`, true: obeyed(1)},
	ReplyDamaged:   {now: `(?s)^.{34,35}$`, true: obeyed(1)},
	ResendOld:      {now: refused, true: obeyed(1)},
	ResendFuture:   {now: `^Error:checksum mismatch, Last Line: \d+\nResend: \d+\nok\n$`, true: obeyed(1)},

	ReadingNaN:    {now: `^ok T:NaN /0.0 B:20.5`, true: obeyed(1)},
	ReadingJumped: {now: `^ok T:(-[2-9]|-1[0-3]|[6-9]\d|1[0-6]\d)\S* /0.0 B:20.5`, true: obeyed(1)},
	ReadingFrozen: {now: `^ok ` + readings, true: obeyed(1)},

	Restart:       {now: `^ok `, soon: `^start\necho:`, late: `start\n`, true: func(s Snapshot) bool { return s.Resets > 0 && s.LastLine == 0 }},
	BannerAlone:   {now: `^ok `, soon: `^(start\n(echo:.*\n){2}){7}$`, late: `start\n`, true: func(s Snapshot) bool { return s.LastLine == 1 }},
	CounterBack:   {now: `^ok `, true: func(s Snapshot) bool { return s.LastLine == 0 && s.Resets == 0 }},
	TargetChanged: {now: `^ok `, late: "", true: func(s Snapshot) bool { return s.NozzleC > 40 }},
	FaultReported: {now: `^ok `, soon: `^Error:Thermal Runaway, system stopped! Heater_ID: 0\nError:Printer halted. kill\(\) called!\n$`,
		true: func(s Snapshot) bool { return s.Halted }},
	OwnError:     {now: `^ok `, soon: `^(Error:.+\n){7}$`, late: `Error:`, true: obeyed(1)},
	UnknownText:  {now: `^ok `, soon: `^(.+\n){7}$`, late: `.`, true: obeyed(1)},
	BinaryNoise:  {now: `^ok `, soon: `(?s)^.{14,}\n$`, late: `(?s).{999}`, true: obeyed(1)},
	Flood:        {now: `^ok `, soon: `^x+$`, late: `x\nx`, true: obeyed(1)},
	OKForNothing: {now: `^ok ` + readings, soon: `^(ok\n){7}$`, late: `^(ok\n)+$`, true: obeyed(1)},
}

func obeyed(lines int) func(Snapshot) bool {
	return func(s Snapshot) bool { return s.ObeyedTotal == lines && s.Resets == 0 && !s.Halted }
}

// alwaysLying is a printer that tells one lie whenever it can.
func alwaysLying(lie Lie) *Firmware {
	return New(Profile{BootTime: -1, Greets: true, Seed: 5, Lies: []Lying{{lie, 1}}})
}

// overheard lets time pass and returns all that is said meanwhile.
func overheard(f *Firmware, d time.Duration) string {
	var said strings.Builder
	for end := f.now + d; ; {
		for out := f.Say(); out != nil; out = f.Say() {
			said.Write(out)
		}
		due, any := f.Due()
		if !any || f.now+due > end {
			f.Advance(end - f.now)
			said.Write(f.Say())
			return said.String()
		}
		f.Advance(due)
	}
}

func TestEachLieLooksAsItIsDescribed(t *testing.T) {
	for _, lie := range Lies() {
		want, described := asTold[lie]
		if !described {
			t.Errorf("%q is described nowhere", lie)
			continue
		}
		f := alwaysLying(lie)
		f.Say() // the greeting
		line := framed(1, "M105")
		if lie == RefusalUnsaid {
			line = "N1 M105*1"
		}
		f.Hear([]byte(line + "\n"))
		now := string(f.Say())
		soon, late := overheard(f, 1950*time.Millisecond), overheard(f, 98*time.Second)
		for _, c := range []struct{ when, said, want string }{{"at once", now, want.now}, {"soon", soon, want.soon}, {"later", late, want.late}} {
			if c.want == "" {
				c.want = `^$`
			}
			if !regexp.MustCompile(c.want).MatchString(c.said) {
				t.Errorf("%q: %s it said %.200q, want %s", lie, c.when, c.said, c.want)
			}
		}
		if s := f.Snapshot(); !want.true(s) || f.Told(lie) == 0 {
			t.Errorf("%q: told %d times; %d obeyed, %d lost, %d resets, last line %d, %v C", lie, f.Told(lie), s.ObeyedTotal, s.LostBytes, s.Resets, s.LastLine, s.NozzleC)
		}
	}
	if got := len(Lies()); got != len(asTold) || got < 28 {
		t.Errorf("%d lies, %d described", got, len(asTold))
	}
}

func TestWhatIsForGoodEndsWithAReset(t *testing.T) {
	for _, lie := range []Lie{Silent, Hang, ResendStorm, ReadingFrozen} {
		f := alwaysLying(lie)
		f.Hear([]byte(framed(1, "M105") + "\n"))
		f.liar = nil // from now on it would be honest
		f.Advance(time.Second)
		f.Reset()
		for f.Say() != nil {
		}
		f.Hear([]byte("M104 S200\n"))
		f.Advance(time.Minute)
		f.Say()
		if said := tell(f, framed(1, "M105")); !strings.HasPrefix(said, "ok T:") || strings.Contains(said, "T:20.5") {
			t.Errorf("%q: after a reset it said %q", lie, said)
		}
	}
}

func TestAFrozenReadingHidesTheHeat(t *testing.T) {
	f := alwaysLying(ReadingFrozen)
	tell(f, "M105", "M104 S200")
	f.Advance(time.Minute)
	mustSay(t, tell(f, "M105"), "ok T:20.5 /200.0")
	if s := f.Snapshot(); s.NozzleC < 100 || f.Told(ReadingFrozen) != 1 {
		t.Errorf("in truth %v C, told %d times", s.NozzleC, f.Told(ReadingFrozen))
	}
}

func TestADamagedReplyIsOneByteFromTheTruth(t *testing.T) {
	f, honest := alwaysLying(ReplyDamaged), tell(New(Profile{BootTime: -1}), "M105")
	f.Say()
	lost, changed := 0, 0
	for range 200 {
		said := tell(f, "M105")
		switch {
		case len(said) == len(honest)-1:
			lost++
		case len(said) == len(honest) && said != honest:
			changed++
		default:
			t.Fatalf("said %q for %q", said, honest)
		}
	}
	mustBe(t, "bytes lost of 200", float64(lost), 100, 40)
}
