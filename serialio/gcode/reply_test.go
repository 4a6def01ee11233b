package gcode

import (
	"testing"
)

// replies are the forms of the community dialect (its public page "G-code") as far as they are known to us.
var replies = []struct {
	line     string
	kind     ReplyKind
	number   int64
	has      bool
	doubtful bool
}{
	{"ok", OK, 0, false, false},
	{"OK", OK, 0, false, false},
	{" ok\r", OK, 0, false, false},
	{"ok T:20.5 /0.0 B:19.8 /0.0 @:0 B@:0", OK, 0, false, false},
	{"ok N57 P15 B3", OK, 57, true, false},
	{"ok T:2x.5", OK, 0, false, true},
	{"okk", Unknown, 0, false, true},
	{"o", Unknown, 0, false, true},
	{"Resend: 12", Resend, 12, true, false},
	{"Resend:12", Resend, 12, true, false},
	{"resend: N12", Resend, 12, true, false},
	{"rs 12", Resend, 12, true, false},
	{"rs N12", Resend, 12, true, false},
	{"Resend: 12ok", Resend, 12, true, true},
	{"Resend: ", Resend, 0, false, true},
	{"Resynd: 12", Unknown, 0, false, true},
	{"busy: processing", Busy, 0, false, false},
	{"echo:busy: processing", Busy, 0, false, false},
	{"wait", Wait, 0, false, false},
	{"Error:checksum mismatch, Last Line: 56", Error, 56, true, false},
	{"Error:Line Number is not Last Line Number+1, Last Line: 9", Error, 9, true, false},
	{"Error:No Checksum with line number", Error, 0, false, false},
	{"Error:Printer halted. kill() called!", Fatal, 0, false, false},
	{"!!", Fatal, 0, false, false},
	{"Error:Heating failed, system stopped! Heater_ID: 0", Fatal, 0, false, false},
	{"Error:Thermal Runaway, system stopped! Heater_ID: bed", Fatal, 0, false, false},
	{"Error:MINTEMP triggered, system stopped! Heater_ID: 0", Fatal, 0, false, false},
	{"Error:MAXTEMP triggered", Fatal, 0, false, false},
	{"Errr:Thermal Runaway, system stopped!", Fatal, 0, false, false},
	{"start", Greeting, 0, false, false},
	{"started", Unknown, 0, false, true},
	{"echo: cold extrusion prevented", Remark, 0, false, false},
	{"// probe is on", Remark, 0, false, false},
	{`echo:Unknown command: "60"`, Remark, 0, false, true},
	{"T:201.3 /205.0 B:59.9 /60.0 @:64 B@:0", Report, 0, false, false},
	{"T0:20.0 /0.0 T1:21.0 /0.0", Report, 0, false, false},
	{"X:0.00 Y:0.00 Z:0.00 E:0.00 Count X:0 Y:0 Z:0", Report, 0, false, false},
	{"FIRMWARE_NAME:Invented 1 PROTOCOL_VERSION:1.0", Report, 0, false, false},
	{"Cap:AUTOREPORT_TEMP:1", Report, 0, false, false},
	{"M92 X80.00 Y80.00 Z400.00 E93.00", Report, 0, false, false},
	{"echo:  M92 X80.00 Y80.00 Z400.00 E93.00", Report, 0, false, false},
	{"echo:; Steps per unit:", Report, 0, false, false},
	{"; Steps per unit:", Remark, 0, false, false},
	{"hello", Unknown, 0, false, true},
	{"ok \x80", OK, 0, false, true},
	{"", Unknown, 0, false, true},
}

func TestReplies(t *testing.T) {
	for _, c := range replies {
		r := ParseReply([]byte(c.line))
		if r.Kind != c.kind || r.Doubtful != c.doubtful || r.HasLine != c.has || (c.has && r.Line != c.number) {
			t.Errorf("%q: %v, line %d %t, doubtful %t; want %v, %d %t, %t", c.line, r.Kind, r.Line, r.HasLine, r.Doubtful, c.kind, c.number, c.has, c.doubtful)
		}
	}
}

// TestDamageIsNeverAYes: whatever one byte of a refusal is turned into or loses, it does not read as a clean reply that
// says nothing.
func TestDamageIsNeverAYes(t *testing.T) {
	for _, line := range []string{"Resend: 57", "rs 57", "Error:checksum mismatch, Last Line: 56"} {
		for i := range len(line) {
			lost := line[:i] + line[i+1:]
			holdsADoubt(t, lost)
			for c := range 256 {
				holdsADoubt(t, line[:i]+string([]byte{byte(c)})+line[i+1:])
			}
		}
	}
}

func holdsADoubt(t *testing.T, line string) {
	t.Helper()
	switch r := ParseReply([]byte(line)); r.Kind {
	case Resend, Error, Fatal:
	case Remark: // the line in flight is asked after
	default:
		if !r.Doubtful {
			t.Errorf("%q reads as a clean %v", line, r.Kind)
		}
	}
}

// TestGlued: an ok without a blank behind it is told from one with, for it may be two lines in one.
func TestGlued(t *testing.T) {
	for line, want := range map[string]bool{"okT:20.5 /0.0": true, "okX:0.00 Y:0.00 Z:0.00": true, "ok T:20.5 /0.0": false, "ok": false} {
		if r := ParseReply([]byte(line)); r.Kind != OK || r.Glued != want {
			t.Errorf("%q: %+v", line, r)
		}
	}
}

func TestRepliesAllocateNothing(t *testing.T) {
	for _, c := range replies {
		line := []byte(c.line)
		if n := testing.AllocsPerRun(100, func() {
			r := ParseReply(line)
			ParseTemperatures(r.Text)
			ParsePosition(r.Text)
		}); n != 0 {
			t.Errorf("%q: %v allocations", c.line, n)
		}
	}
}

func FuzzParseReply(f *testing.F) {
	for _, c := range replies {
		f.Add([]byte(c.line))
	}
	for _, line := range saidInTranscripts(f) {
		f.Add([]byte(line))
	}
	f.Fuzz(func(t *testing.T, line []byte) {
		r := ParseReply(line)
		if r.Kind > Report || (r.Kind == Unknown && !r.Doubtful) || len(r.Text) > len(line) {
			t.Fatalf("%q: %+v", line, r)
		}
		if r.Kind == OK && (len(line) < 2) {
			t.Fatalf("%q is no ok", line)
		}
		if steady(r) {
			readsBack(t, line, r)
		}
	})
}

func BenchmarkParseReply(b *testing.B) {
	for name, text := range map[string]string{"ok": "ok", "temperatures": "ok T:201.3 /205.0 B:59.9 /60.0 @:64 B@:0", "unknown": "a line of no known kind"} {
		line := []byte(text)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				ParseReply(line)
			}
		})
	}
}
