package serialio

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestEveryFormHasATranscript: each form of the dialect is named by a transcript, and what names it holds it.
func TestEveryFormHasATranscript(t *testing.T) {
	found := map[string]int{}
	for _, file := range transcripts(t) {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		names := formsOf(string(text))
		if len(names) == 0 {
			t.Errorf("%s names no form", nameOf(file))
		}
		for _, name := range names {
			i := slices.IndexFunc(forms, func(f form) bool { return f.name == name })
			switch {
			case i < 0:
				t.Errorf("%s names %q, which is on no list", nameOf(file), name)
			case !regexp.MustCompile("(?m)" + forms[i].has).Match(text):
				t.Errorf("%s names %q and holds no %s", nameOf(file), name, forms[i].has)
			default:
				found[name]++
			}
		}
	}
	for _, f := range forms {
		if found[f.name] == 0 {
			t.Errorf("no transcript has the form %q", f.name)
		}
	}
	t.Logf("%d forms", len(forms))
}

// formsOf is the forms that a transcript names: "# forms: ok; Resend: n".
func formsOf(text string) []string {
	for _, line := range strings.Split(text, "\n") {
		if list, ok := strings.CutPrefix(line, "# forms: "); ok {
			return strings.Split(list, "; ")
		}
	}
	return nil
}

// A form is one that the dialect of printers has (the community's public page "G-code"; where that has none, common
// practice, no source), and how a transcript that holds it looks.
type form struct{ name, has string }

var forms = []form{
	// How a printer begins.
	{"board greets", `^< start$`},
	{"board greets late", `^> N7 M105.*\n(.*\n)+< start$`},
	{"board never greets", `\A(#.*\n)+\+ 1s\n> N0 M110 N0\*125$`},
	{"board is up", `^> N0 M110`},
	{"board restarts", `^> .*\n< start$`},
	{"board counts from 1 again", `^< Resend: 1\n= restarted$`},
	{"firmware without line numbers", `^> N7 M105\*32\n< ok\n< ok`},
	{"silence", `^> N\d+ M105.*\n\+ \d+m?s\n>`},
	// What is sent.
	{"numbered line", `^> N\d+ [GM]\d+.*\*\d+$`},
	{"line lost on the way", `^\+ 2.5s\n> N47133 M105\*37\n(<.*\n)+\+ 100ms\n> N47127 `},
	{"M110 out of its turn", `^> N47123 M110 N47123\*`},
	{"M110 in its turn", `^> N413 M110 N84246\*`},
	{"M112", `^> M112$`},
	{"stop", `^! stop\n> N\d+ M110.*\n> N\d+ M104 S0\*`},
	// ok.
	{"ok", `^< ok$`},
	{"ok in capitals", `^< OK$`},
	{"CR and LF", `^< ok\\r$`},
	{"blank around", `^<   ok $`},
	{"ok with temperatures", `^< ok T:`},
	{"ok and temperatures without a blank", `^< okT:`},
	{"ok N P B", `^< ok N\d+ P\d+ B\d+$`},
	{"ok N P B with temperatures", `^< ok N\d+ P\d+ B\d+ T:`},
	{"ok P B", `^< ok P\d+ B\d+$`},
	{"ok doubled", `^< ok\n= obeyed\n< ok$`},
	{"second surplus ok", `(?s)= obeyed\n< ok\n.*= obeyed\n< ok\n`},
	{"ok missing", `^\+ 2.5s\n> .*\n<.*\n< .*\n= obeyed`},
	{"ok of an older line", `^> N47127 .*\n< ok N47126`},
	{"ok of another line", `^> N47128 M105.*\n< ok\n> N47134 M105`},
	{"proved by a poll", `(?s)M105\*.*< ok T:.*< start\n.*% unsure 1\n`},
	{"surplus oks without end", `^% why the printer says ok more often than it was asked$`},
	{"ok damaged", `^< oj?$`},
	{"two replies in one", `^< okok$`},
	// Resend, and the errors before it.
	{"Resend: n", `^< Resend: \d+$`},
	{"Resend:n", `^< Resend:\d+$`},
	{"Resend: Nn", `^< Resend: N\d+$`},
	{"resend: n", `^< resend: \d+$`},
	{"rs n", `^< rs \d+$`},
	{"rs Nn", `^< rs N\d+$`},
	{"Resend without ok", `^< (rs|Resend:).*\n\+`},
	{"Resend twice", `^< rs N47127\n< rs N47127$`},
	{"Resend behind its ok", `^< ok\n= obeyed\n(< .*\n)*< Resend:`},
	{"Resend damaged", `^< (Resynd: 47127|Resend: 4127|Resend:)$`},
	{"Resend of an older line", `^> N47128 .*\n(< Error.*\n)?< Resend: 47127$`},
	{"Resend of a future line", `^> N\d+ .*\n<.*\n< Resend: 47142$`},
	{"Resend of a line no longer kept", `^% why the printer asks for line 47127, which is no longer kept`},
	{"sent again from an older line", `^> N47127 (.*)\n< ok\n> N47128 `},
	{"Resend while nothing is in flight", `^= obeyed\n< Resend: `},
	{"Resend without end", `(?:< Resend: 47127\n< ok\n\+ 100ms\n.*\n){8}`},
	{"each line in flight refused", `^< Resend: (\d+)\n(.*\n)+?< Error:Line Number.*\n< Resend: `},
	{"Error: checksum", `^< Error:checksum mismatch`},
	{"Error: line number", `^< Error:Line Number is not Last Line Number\+1, Last Line: \d+$`},
	{"Error: no checksum", `^< Error:No Checksum with line number`},
	{"Error: no line number", `^< Error:No Line Number with checksum`},
	{"Error: of its own", `^< Error:.*\n< ok\n(.*\n)+= refused `},
	// Signs of life, remarks, pauses.
	{"busy: processing", `^< (echo:)?busy: processing$`},
	{"echo:busy: processing", `^< echo:busy: processing$`},
	{"busy: paused", `^< echo:busy: paused for user$`},
	{"long command", `(?:< echo:busy: processing\n\+ 2s\n){5}`},
	{"wait", `^< wait$`},
	{"// remark", `^< // [a-z]`},
	{"// action", `^< // ?action:`},
	{"echo: remark", `^< echo:a remark$`},
	{"unknown command", `^< echo:Unknown command: "`},
	{"echo of our own line", `^> (N47127 .*)\n< N47127 `},
	{"M118 echo", `^< echo:HELLO$`},
	{"card", `^< echo:SD init fail$`},
	{"multiplier", `^< FR:100%$`},
	{"binary noise", `^< \\x`},
	{"reply too long", `^< x{600}$`},
	// Readings.
	{"T0 and T1", `^< ok T0:.* T1:`},
	{"T and T0 and T1", `^< ok T:.* T0:.* T1:`},
	{"temperatures without blanks", `^< ok T:[\d.]+/[\d.]+B:`},
	{"temperatures unasked", `^<  ?T:.* B:`},
	{"temperatures of a wait", `^< T:[\d.]+ E:0 W:`},
	{"M155 unasked reports", `^> N\d+ M155 S1\*(.*\n)+<  T:`},
	{"raw readings", `^< ok T:[\d.]+ /[\d.]+ \([\d.]+\)`},
	{"nan", `^< ok T:nan`},
	{"bed alone", `^< ok B:`},
	{"tenths missing", `^< ok T:\d+ /\d+ B`},
	{"reading damaged", `^< ok T:2o1\.3`},
	{"position", `^< X:.* Count X:`},
	{"position behind ok", `^< ok X:`},
	// Who it is, and what it keeps.
	{"M115 answer", `^< FIRMWARE_NAME:.* PROTOCOL_VERSION:.* MACHINE_TYPE:.* EXTRUDER_COUNT:.* UUID:`},
	{"M115 without capabilities", `^< FIRMWARE_NAME:.*\n< ok$`},
	{"capabilities", `^(< Cap:[A-Z_]+:[01]|% caps map\[AUTOREPORT_TEMP:true\])$`},
	{"M503 with echo", `^< echo:  M92 X[\d.]+ Y[\d.]+ Z[\d.]+ E`},
	{"M503 without echo", `^< M92 X[\d.]+ Y[\d.]+ Z[\d.]+ E`},
	{"M503 with comments", `^< echo:; Steps per unit:$`},
	{"M207 and M208", `^< echo:  M207 S.*\n< echo:  M208 S`},
	{"M92 T0 E", `^< echo:  M92 T0 E`},
	{"M92 bare", `^> N\d+ M92\*\d+\n< echo: M92 X`},
	{"M92 refused", `^> N\d+ M92( E[\d.]+)?\*\d+\n< (echo:Unknown command|Error:)`},
	{"M500 refused", `^> N\d+ M500\*\d+\n< Error:`},
	{"M500 saves", `^> N\d+ M500\*\d+\n< echo:settings stored`},
	{"M501 loads", `^> N\d+ M501\*\d+\n< echo:settings loaded`},
	{"storage damaged", `^< Error:stored settings are damaged$`},
	{"cold extrusion", `^< echo: cold extrusion prevented$`},
	{"M302", `^> N\d+ M302 S0\*\d+\n< ok$`},
	{"M108, M410, M84", `(?s)> N\d+ M108\*.*M410\*.*M84\*`},
	// It stopped itself.
	{"fatal", `^@ halted$`},
	{"heating failed", `^< Error:Heating failed, system stopped!`},
	{"thermal runaway", `^< Err?or:Thermal Runaway, system stopped!`},
	{"MINTEMP", `^< Error:MINTEMP`},
	{"MAXTEMP", `^< Error:MAXTEMP`},
	{"heater fault in other words", `^< (Error|!!).*([Hh]eater|bed) `},
	{"Printer halted", `^< Error:Printer halted\.`},
	{"!!", `^< !!`},
}
