package machine

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"testing/synctest"

	"fettle/serialio"
	"fettle/serialio/gcode"
)

func TestTypedLinesThatAreSent(t *testing.T) {
	for _, c := range []struct {
		typed    string
		attended bool
		want     []string // everything that leaves
	}{
		{"m105", false, []string{"M105"}},
		{" M114 ; where?", false, []string{"M114"}},
		{"m104 s0", false, []string{"M104 S0"}}, // off needs nobody
		{"M140S0", false, []string{"M140 S0"}},
		{"M104 S260", true, []string{"M104 S260"}},
		{"M104 S0210.00", true, []string{"M104 S210"}},
		{"M140 S110", true, []string{"M140 S110"}},
		{"M92", false, []string{"M92"}},
		{"M221", false, []string{"M221"}},
		{"M106 S128", false, []string{"M106 S128"}},
		{"G28 X Y", true, []string{"G28 X Y"}},
		{"G28", true, []string{"G28"}},
		{"G91", false, []string{"G91"}},
		{"G92 E0", false, []string{"G92 E0"}},
		{"G1 X220 F6000", true, []string{"G21", "M400", "M114", "G90", "M82", "G1 X220 F6000"}},
		{"G1 E5 F60", true, []string{"G21", "M400", "M114", "G90", "M82", "G1 E5 F60"}},
		{"G01 X10 Y10 Z5 E0.5 F3000", true, []string{"G21", "M400", "M114", "G90", "M82", "G1 X10 Y10 Z5 E0.5 F3000"}},
	} {
		synctest.Test(t, func(t *testing.T) {
			b := newBench()
			if _, err := b.machine(1).Single(t.Context(), c.typed, c.attended); err != nil {
				t.Errorf("%q: %v", c.typed, err)
			}
			if got := b.lines(); !slices.Equal(got, c.want) {
				t.Errorf("%q: sent %v, want %v", c.typed, got, c.want)
			}
		})
	}
}

func TestTypedLinesThatAreRefused(t *testing.T) {
	for _, typed := range []string{
		"M109 S200", "M190 S60", "G4 P1000", "G04 S1", "M112", "M410", "M999", "M85 S60", "M303 E0 S200", "M600", "M0", "M997", "M110", "G20", "M104 S1e2", "M104 S0x10",
		"M92 E93", "M201 X500", "M203 E25", "M204 P500", "M207 S1", "M208 F300", "M220 S100", "M221 S95", "M500", "M501", "M502",
		"M301 P20", "M302 P1", "M302 S0", "M302", "M211 S0", "M851 Z-1", "M906 E800", "M42 P13 S255", "M200 D1.75", "M900 K0.1",
		"M104", "M104 S", "M104 S261", "M104 S-1", "M104 S210 T1", "M104 S999999", "M140 S111", "M140 S",
		"M106", "M106 S256", "M105 X1", "G28 X5", "G28 E", "M84 S60", "G92 Z0", "G92", "G29 S1", "M123", "T1", "G2 X1 Y1 I1", "M104.1 S200",
		"G1", "G1 F600", "G1 X10", "G1 X10 F0", "G1 X221 F6000", "G1 X-0.1 F6000", "G1 Z201 F600", "G1 Y1000000 F6000", "G1 X10 F6000 S1",
		"G1 E5 F301", "G1 E51 F300", "G1 E-51 F300", "G1 X200 F600", "G1 X0.1 E50 F6000", "G1 X F600",
	} {
		synctest.Test(t, func(t *testing.T) {
			b := newBench()
			_, err := b.machine(1).Single(t.Context(), typed, true)
			var refused *RefusedError
			if !errors.As(err, &refused) || refused.Word == "" || refused.Why == "" || refused.Accept == "" {
				t.Errorf("%q: %v", typed, err)
			}
			for _, line := range b.lines() { // a move may have been measured first
				if !slices.Contains([]string{"G21", "M400", "M114"}, line) {
					t.Errorf("%q: sent %q", typed, line)
				}
			}
		})
	}
}

func TestWhatIsNoBlockIsASyntaxError(t *testing.T) {
	for _, typed := range []string{"", "; nothing", "hello", "M105\nM104 S200", "N1 M105*39", "M110 N0", "G1 X1 G1 X2", "M104 S1 S2", "M117 hi there", "G1 X\x00"} {
		b := newBench()
		_, err := b.machine(1).Single(t.Context(), typed, true)
		var syntax *gcode.SyntaxError
		if !errors.As(err, &syntax) || len(b.sent) > 0 {
			t.Errorf("%q: %v, sent %v", typed, err, b.sent)
		}
	}
}

func TestNothingHeatsOrMovesUnattended(t *testing.T) {
	for _, typed := range []string{"M104 S1", "M140 S1", "G0 X1 F600", "G1 E1 F60", "G28", "G29", "M84"} {
		b := newBench()
		_, err := b.machine(1).Single(t.Context(), typed, false)
		var refused *RefusedError
		if !errors.As(err, &refused) || !strings.Contains(refused.Accept, "attended") || len(b.sent) > 0 {
			t.Errorf("%q: %v, sent %v", typed, err, b.sent)
		}
	}
}

func TestWithoutASetupNothingHeatsOrMoves(t *testing.T) {
	for _, typed := range []string{"M104 S1", "M140 S1", "G1 X1 F600", "G1 E1 F60"} {
		b := newBench()
		m := b.machine(1)
		m.Limit(Limits{})
		if _, err := m.Single(t.Context(), typed, true); err == nil || !strings.Contains(err.Error(), "setup") {
			t.Errorf("%q: %v", typed, err)
		}
		if b.count("G1")+b.count("M104")+b.count("M140") > 0 {
			t.Errorf("%q: sent %v", typed, b.sent)
		}
	}
}

// Relative moves are held to the build volume from where the printer says it is, and a printer's own modes, whoever
// set them, are not relied upon.
func TestTypedModes(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench()
		b.x, b.z, b.e, b.feedRelative = 200, 10, 1000, true
		m := b.machine(1)
		type typed struct {
			line string
			ok   bool
		}
		for _, c := range []typed{
			{"G91", true}, {"G1 X20 F6000", true}, {"G1 X0.5 F6000", false}, {"G1 Z-10 F600", true}, {"G1 Z-0.1 F600", false},
			{"G1 E5 F60", false}, // absolute: back by 995 mm
			{"M83", true}, {"G1 E5 F60", true}, {"G1 E-5 F60", true}, {"M82", true}, {"G1 E1001 F60", true},
			{"G90", true}, {"G1 X220.1 F6000", false}, {"G1 X210 F6000", true},
		} {
			if _, err := m.Single(t.Context(), c.line, true); (err == nil) != c.ok {
				t.Errorf("%s: %v", c.line, err)
			}
			b.relative, b.feedRelative = true, true // somebody at the panel
		}
		if b.x != 210 || b.z != 0 || b.e != 1001 {
			t.Errorf("at X%g Z%g E%g", b.x, b.z, b.e)
		}
	})
}

func TestMovesNeedAPosition(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench()
		b.hook = func(block string) ([]string, error, bool) { return []string{"X:? Y:? Z:?"}, nil, block == "M114" }
		if _, err := b.machine(1).Single(t.Context(), "G1 X10 F600", true); err == nil || b.count("G1") > 0 {
			t.Errorf("moved from nowhere: %v", err)
		}
	})
}

func TestTheReplyIsHandedOn(t *testing.T) {
	b := newBench()
	b.hook = func(block string) ([]string, error, bool) {
		return []string{"echo:  M92 X80.00 E93.00", "echo:x"}, &serialio.FirmwareError{Text: "no"}, block == "M92"
	}
	lines, err := b.machine(1).Single(t.Context(), "M92", false)
	var said *serialio.FirmwareError
	if len(lines) != 2 || !errors.As(err, &said) {
		t.Errorf("%q, %v", lines, err)
	}
}
