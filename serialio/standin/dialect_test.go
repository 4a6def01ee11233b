package standin

import (
	"testing"
	"time"
)

// N3 T0*57 is the published example of the community's G-code reference; the others are computed by its rule.
func TestChecksumsAreThoseOfTheReference(t *testing.T) {
	for _, line := range []string{"N3 T0*57", "N123 M105*39", "N1 G1 X10 E2.5 F1800*115", "N-1 M110*15", "N0 M110 N0*125"} {
		if h := takeApart(line); !h.numbered || !h.summed || !h.sumRight {
			t.Errorf("%s: taken for %+v", line, h)
		}
	}
}

func TestALineOutOfOrderIsAskedForAgain(t *testing.T) {
	for name, c := range map[string]struct{ line, want string }{
		"in order":             {framed(3, "T0"), "ok\n"},
		"checksum":             {"N3 T0*58", "Error:checksum mismatch, Last Line: 2\nResend: 3\nok\n"},
		"no checksum":          {"N3 T0", "Error:No Checksum with line number, Last Line: 2\nResend: 3\nok\n"},
		"checksum alone":       {"T0*100", "Error:No Line Number with checksum, Last Line: 2\nResend: 3\nok\n"},
		"a line left out":      {framed(4, "T0"), "Error:Line Number is not Last Line Number+1, Last Line: 2\nResend: 3\nok\n"},
		"a line twice":         {framed(2, "T0"), "Error:Line Number is not Last Line Number+1, Last Line: 2\nResend: 3\nok\n"},
		"no number":            {"T0", "ok\n"},
		"no blanks":            {"G1X1Y2F600", "ok\n"},
		"small letters":        {"g1 x1", "ok\n"},
		"a comment":            {"T0 ; tool", "ok\n"},
		"an inner comment":     {"T0 (tool)", "ok\n"},
		"nothing":              {"", ""},
		"an unknown word":      {"M1234 S1", "echo:Unknown command: \"M1234 S1\"\nok\n"},
		"no word":              {"?!", "echo:Unknown command: \"?!\"\nok\n"},
		"echo":                 {"M118 hello there", "hello there\nok\n"},
		"a number set anew":    {framed(77, "M110 N10"), "ok\n"},
		"a number set by N":    {framed(77, "M110"), "ok\n"},
		"unnumbered M110":      {"M110 N5", "ok\n"},
		"M110, bad checksum":   {"N77 M110 N10*1", "Error:checksum mismatch, Last Line: 2\nResend: 3\nok\n"},
		"a line with a return": {"T0\r", "ok\n"},
	} {
		f := awake(t, nil)
		tell(f, "M110 N2")
		if got := tell(f, c.line); got != c.want {
			t.Errorf("%s: said %q, want %q", name, got, c.want)
		}
	}
}

func TestM110SetsTheNumberThatIsDue(t *testing.T) {
	f := awake(t, nil)
	tell(f, framed(500, "M110 N9"), framed(10, "M105"))
	if s := f.Snapshot(); s.LastLine != 10 || s.Refused != 0 {
		t.Errorf("last line %d, %d refused", s.LastLine, s.Refused)
	}
	strict := awake(t, func(p *Profile) { p.RefusesOddM110 = true })
	mustSay(t, tell(strict, framed(500, "M110 N9")), "Resend: 1\n")
	mustSay(t, tell(strict, framed(1, "M110 N9"), framed(10, "M105")), "ok\nok T:")
}

func TestProfilesAnswerInTheirOwnWay(t *testing.T) {
	for name, c := range map[string]struct {
		change     func(*Profile)
		line, want string
	}{
		"no ok behind a Resend": {func(p *Profile) { p.NoResendOK = true }, framed(7, "M105"),
			"Error:Line Number is not Last Line Number+1, Last Line: 0\nResend: 1\n"},
		"Resend twice": {func(p *Profile) { p.ResendTwice = true }, framed(7, "M105"),
			"Error:Line Number is not Last Line Number+1, Last Line: 0\nResend: 1\nResend: 1\nok\n"},
		"short Resend": {func(p *Profile) { p.ShortResend = true }, framed(7, "M105"),
			"Error:Line Number is not Last Line Number+1, Last Line: 0\nrs N1\nok\n"},
		"short Resend alone": {func(p *Profile) { p.ShortResend, p.NoResendOK = true, true }, framed(7, "M105"),
			"Error:Line Number is not Last Line Number+1, Last Line: 0\nrs N1\n"},
		"readings behind ok":   {nil, "M105", "ok T:20.5 /0.0 B:20.5 /0.0 @:0 B@:0\n"},
		"readings before ok":   {func(p *Profile) { p.ReadingsFirst = true }, "M105", "T:20.5 /0.0 B:20.5 /0.0 @:0 B@:0\nok\n"},
		"readings glued to ok": {func(p *Profile) { p.GluedOK = true }, "M105", "okT:20.5 /0.0 B:20.5 /0.0 @:0 B@:0\n"},
		"no blanks":            {func(p *Profile) { p.Slash = "/" }, "M105", "ok T:20.5/0.0 B:20.5/0.0 @:0 B@:0\n"},
		"many blanks":          {func(p *Profile) { p.Slash = " / " }, "M105", "ok T:20.5 / 0.0 B:20.5 / 0.0 @:0 B@:0\n"},
		"two tools":            {func(p *Profile) { p.Tools = 2 }, "M105", "ok T0:20.5 /0.0 T1:20.5 /0.0 B:20.5 /0.0 @:0 B@:0\n"},
		"two tools, one in use": {func(p *Profile) { p.Tools, p.ToolInUse = 2, true }, "M105",
			"ok T:20.5 /0.0 T0:20.5 /0.0 T1:20.5 /0.0 B:20.5 /0.0 @:0 B@:0\n"},
		"readings behind fields": {func(p *Profile) { p.OKFields = true }, framed(1, "M105"),
			"ok N1 P16 B128 T:20.5 /0.0 B:20.5 /0.0 @:0 B@:0\n"},
		"CR LF":                {func(p *Profile) { p.CRLF, p.ReadingsFirst = true, true }, "M118 a", "a\r\nok\r\n"},
		"busy":                 {nil, "G4 S3", "echo:busy: processing\nok\n"},
		"bare busy":            {func(p *Profile) { p.BareBusy = true }, "G4 S3", "busy: processing\nok\n"},
		"fields behind ok":     {func(p *Profile) { p.OKFields = true }, framed(1, "M82"), "ok N1 P16 B128\n"},
		"M92 unknown":          {func(p *Profile) { p.UnknownWords = []string{"M92"} }, "M92 E100", "echo:Unknown command: \"M92 E100\"\nok\n"},
		"stores nothing, M500": {func(p *Profile) { p.StoresNothing = true }, "M500", "Error:No storage for settings\nok\n"},
		"stores nothing, M501": {func(p *Profile) { p.StoresNothing = true }, "M501", "Error:No storage for settings\nok\n"},
	} {
		if got := tell(awake(t, c.change), c.line); got != c.want {
			t.Errorf("%s: said %q, want %q", name, got, c.want)
		}
	}
}

func TestAPrinterGreetsOnlyIfItsProfileSaysSo(t *testing.T) {
	f := New(Invented())
	f.Hear([]byte("M105\n"))
	f.Advance(1499 * time.Millisecond)
	if said := f.Say(); said != nil {
		t.Errorf("said %q while booting", said)
	}
	f.Advance(time.Millisecond)
	if said := string(f.Say()); said[:6] != "start\n" {
		t.Errorf("greeted with %q", said)
	}
	if lost := f.Snapshot().LostBytes; lost != 5 {
		t.Errorf("%d bytes lost while booting, want 5", lost)
	}
	silent := New(Profile{})
	silent.Advance(time.Minute)
	if said := silent.Say(); said != nil {
		t.Errorf("said %q without being asked", said)
	}
	mustSay(t, tell(silent, "M105"), "ok T:20.5 /0.0 B:20.5 /0.0 @:0 B@:0\n")
}

func TestAReceiveBufferLosesWhatDoesNotFit(t *testing.T) {
	f := awake(t, nil)
	f.Hear([]byte("G4 S10\n"))
	for range 20 {
		f.Hear([]byte("M118 123\n")) // 9 bytes each: 14 whole lines and two bytes fit into 128
	}
	f.Advance(11 * time.Second)
	s := f.Snapshot()
	if s.LostBytes != 20*9-128 {
		t.Errorf("%d bytes lost, want %d", s.LostBytes, 20*9-128)
	}
	if s.ObeyedTotal != 1+14 {
		t.Errorf("%d lines obeyed, want 15", s.ObeyedTotal)
	}
}

func TestAHostThatDoesNotReadStopsThePrinterNotItsMemory(t *testing.T) {
	f := awake(t, nil)
	for range 1000 {
		f.Hear([]byte("M503\n"))
	}
	if got := f.mouth.waiting(); got > mouthBytes+2000 {
		t.Errorf("%d bytes wait to be said", got)
	}
	answered := 0
	for out := f.Say(); out != nil; out = f.Say() {
		answered++
	}
	if s := f.Snapshot(); answered < 2 || s.LostBytes == 0 {
		t.Errorf("%d mouthfuls, %d bytes lost", answered, s.LostBytes)
	}
}
