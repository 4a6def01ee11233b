package machine

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"fettle/serialio"
	"fettle/serialio/gcode"
)

func TestHeatVerbsAreHeldToTheLimits(t *testing.T) {
	for _, c := range []struct {
		celsius     float64
		nozzle, bed bool
	}{
		{0, true, true}, {math.Copysign(0, -1), true, true}, {60, true, true}, {110, true, true}, {110.1, true, false}, {260, true, false}, {260.1, false, false},
		{-1, false, false}, {math.NaN(), false, false}, {math.Inf(1), false, false}, {math.Inf(-1), false, false},
	} {
		b := newBench()
		m := b.machine(1)
		if err := m.SetNozzle(t.Context(), c.celsius); (err == nil) != c.nozzle {
			t.Errorf("nozzle %g: %v", c.celsius, err)
		}
		if err := m.do(t.Context(), "M140", 'S', c.celsius); (err == nil) != c.bed { // at the last look
			t.Errorf("bed %g: %v", c.celsius, err)
		}
		if sent := b.count("M104") + b.count("M140"); sent != btoi(c.nozzle)+btoi(c.bed) || len(b.sent) != sent {
			t.Errorf("%g: sent %v", c.celsius, b.sent)
		}
	}
	b := newBench()
	m := b.machine(1)
	m.Limit(Limits{NozzleMaxC: 900, BedMaxC: 900})
	if m.SetNozzle(t.Context(), 501) == nil || m.do(t.Context(), "M140", 'S', 201.0) == nil || len(b.sent) > 0 {
		t.Errorf("a setup lifted the hard limit: %v", b.sent)
	}
	for _, celsius := range []float64{0, -1, 261, math.NaN()} {
		if err := b.machine(1).WaitNozzle(t.Context(), celsius); err == nil || len(b.sent) > 0 {
			t.Errorf("waited for %g °C", celsius)
		}
	}
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// What no verb sends is refused at the last place before the wire as well.
func TestTheLastLook(t *testing.T) {
	b := newBench()
	m := b.machine(1)
	long := block("M92", 'X', 12345.6789, 'Y', 12345.6789, 'Z', 12345.6789, 'E', 12345.6789)
	for _, blk := range []gcode.Block{block("M109", 'S', 200.0), block("M190", 'S', 60.0), block("G4", 'P', 1.0), block("M112"),
		block("M104", 'S', 261.0), block("M140", 'S', 111.0), long} {
		_, err := m.send(t.Context(), blk)
		var refused *RefusedError
		if !errors.As(err, &refused) || len(b.sent) > 0 {
			t.Errorf("%s: %v, sent %v", blk, err, b.sent)
		}
	}
	frame := gcode.AppendFrame(nil, 1234567, []byte(strings.Repeat("X", maxBlockBytes)))
	if len(frame) > 64 {
		t.Errorf("the longest frame is %d bytes", len(frame))
	}
}

func TestSetTakesWhatIsSetAsideAndOwed(t *testing.T) {
	for line, want := range map[string]string{
		"M104 S0": "M104 S0", "M140 S0": "M140 S0", "M107": "M107", "m106 s0": "M106 S0", "M220 S100": "M220 S100", "M221 S95.5 T0": "M221 S95.5 T0",
		"M200 D0": "M200 D0", "M200 S1 D1.75": "M200 S1 D1.75", "M302 P0": "M302 P0", "M302 S170": "M302 S170", "M302 S0": "M302 S0",
		"M92 X80.00 Y80.00 Z400.00 E93.00": "M92 X80 Y80 Z400 E93", "M92 T0 E407.44": "M92 T0 E407.44",
		"M203 X500.00 Y500.00 Z5.00 E25.00": "M203 X500 Y500 Z5 E25", "M201 X500.00 Y500.00 Z100.00 E5000.00": "M201 X500 Y500 Z100 E5000",
		"M204 P500.00 R1000.00 T500.00": "M204 P500 R1000 T500", "M205 B20000.00 S0.00 T0.00 J0.01": "M205 B20000 S0 T0 J0.01",
		"M206 X0.00 Y0.00 Z-0.10": "M206 X0 Y0 Z-0.1", "M207 S3.00 W13.00 F2700.00 Z0.00": "M207 S3 W13 F2700 Z0", "M208 S0.00 W0.00 F480.00": "M208 S0 W0 F480",
		"M301 P22.20 I1.08 D114.00": "M301 P22.2 I1.08 D114", "M851 X0 Y0 Z-1.2": "M851 X0 Y0 Z-1.2",
	} {
		b := newBench()
		if err := b.machine(1).Set(t.Context(), line); err != nil || !Settable(line) || !slices.Equal(b.sent, []string{want}) {
			t.Errorf("%q: %v, sent %v", line, err, b.sent)
		}
	}
	for _, line := range []string{"M104 S200", "M104", "M140 S60", "M106", "M106 S300", "M220", "M220 S0", "M220 S5", "M221 S-5", "M200", "M302", "M302 P2", "M92", "M92 E0",
		"M92 E-93", "M92 E1000000", "M92 Q1", "M203 E0", "G1 X1", "G28", "M500", "M502", "M109 S0", "M112", "M85 S0", "M997", "T0", "hello", "M92 E93\nM112", ""} {
		b := newBench()
		if err := b.machine(1).Set(t.Context(), line); err == nil || Settable(line) || len(b.sent) > 0 {
			t.Errorf("%q: %v, sent %v", line, err, b.sent)
		}
	}
}

func TestSettings(t *testing.T) {
	b := newBench()
	b.hook = func(block string) ([]string, error, bool) {
		return []string{"echo:  M92 X80.00 Y80.00 Z400.00 E93.00", "echo:  M203 E25.00"}, nil, block == "M503"
	}
	s, err := b.machine(1).Settings(t.Context())
	if v, ok := s.StepsPerMM(0); err != nil || !ok || v != 93 {
		t.Errorf("%g, %t, %v", v, ok, err)
	}
	for v, ok := range map[float64]bool{93: true, 94.51219: true, 407.44: true, 0: false, -93: false, 1e6: false, math.NaN(): false, math.Inf(1): false} {
		b := newBench()
		if err := b.machine(1).SetStepsPerMM(t.Context(), v); (err == nil) != ok || (len(b.sent) == 1) != ok {
			t.Errorf("M92 E%g: %v, sent %v", v, err, b.sent)
		}
	}
	b = newBench()
	m := b.machine(1)
	if err := errors.Join(m.SetStepsPerMM(t.Context(), 94.51219), m.Save(t.Context()), m.Load(t.Context())); err != nil {
		t.Error(err)
	}
	if want := []string{"M92 E94.5122", "M500", "M501"}; !slices.Equal(b.sent, want) {
		t.Errorf("sent %v", b.sent)
	}
}

func TestMultipliers(t *testing.T) {
	f := func(v float64) *float64 { return &v }
	for _, c := range []struct {
		flow, feed         []string
		wantFlow, wantFeed *float64
	}{
		{[]string{"echo:E0 Flow: 95%"}, []string{"FR:100%"}, f(95), f(100)},
		{[]string{"echo:E0 Flow: 95%", "echo:E1 Flow: 80%"}, []string{"echo:FR:120%"}, f(95), f(120)},
		{[]string{"Flow: 102.5%"}, nil, f(102.5), nil},
		{[]string{"echo:Unknown command: \"M221\""}, []string{"FR:%", "FR:abc%", "FR:-5%", "FR:9"}, nil, nil},
	} {
		b := newBench()
		b.hook = func(block string) ([]string, error, bool) {
			if block == "M221" {
				return c.flow, nil, true
			}
			return c.feed, nil, true
		}
		flow, feed, err := b.machine(1).Multipliers(t.Context())
		if err != nil || !equal(flow, c.wantFlow) || !equal(feed, c.wantFeed) {
			t.Errorf("%q %q: %v %v %v", c.flow, c.feed, flow, feed, err)
		}
		if !slices.Equal(b.sent, []string{"M221", "M220"}) {
			t.Errorf("sent %v", b.sent)
		}
	}
}

func equal(a, b *float64) bool { return (a == nil) == (b == nil) && (a == nil || *a == *b) }

// A doubtful answer is asked for again, and believed when it comes twice alike.
func TestAsk(t *testing.T) {
	for _, c := range []struct {
		answers []serialio.Reply
		want    string
		asks    int
	}{
		{[]serialio.Reply{{Lines: []string{"M92 E93"}}}, "M92 E93", 1},
		{[]serialio.Reply{{Lines: []string{"M92 E9?"}, Doubtful: true}, {Lines: []string{"M92 E93"}}}, "M92 E93", 2},
		{[]serialio.Reply{{Lines: []string{"odd"}, Doubtful: true}, {Lines: []string{"odd"}, Doubtful: true}}, "odd", 2},
		{[]serialio.Reply{{Lines: []string{"odd", " T:20.1 /0.0"}, Doubtful: true}, {Lines: []string{"odd", "// by the way", " T:20.2 /0.0"}, Doubtful: true}}, "odd", 2},
		{[]serialio.Reply{{Lines: []string{"a"}, Doubtful: true}, {Lines: []string{"b"}, Doubtful: true}, {Lines: []string{"c"}, Doubtful: true}, {Lines: []string{"d"}, Doubtful: true}}, "", 4},
	} {
		b := &answers{bench: newBench(), replies: c.answers}
		m := New(b, 1)
		reply, err := m.ask(t.Context(), "M503")
		if b.asked != c.asks || (c.want == "") != errors.Is(err, ErrUnclear) || (c.want != "" && reply.Lines[0] != c.want) {
			t.Errorf("%+v: %+v after %d asks, %v", c.answers, reply, b.asked, err)
		}
	}
}

// At 25 mm/s at most, filament alone is held to that at the last place before the wire, whichever verb forgot it.
func TestTheLastLookHoldsTheFeed(t *testing.T) {
	for text, passes := range map[string]bool{"G1 E5 F1500": true, "G1 E-5 F1500": true, "G1 X5 E5 F6000": true, "G1 X5 F6000": true, "G1 F6000": true,
		"G1 E5 F1501": false, "G1 E-5 F1501": false, "G0 E5 F6000": false, "G1 E5": false} {
		b := newBench()
		m := b.machine(1)
		m.Limit(Limits{FeedMaxMMPerS: 25})
		parsed, err := gcode.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		_, err = m.send(t.Context(), parsed)
		var refused *RefusedError
		if (err == nil) != passes || !passes && !errors.As(err, &refused) || (len(b.sent) == 1) != passes {
			t.Errorf("%s: %v, sent %v", text, err, b.sent)
		}
	}
	b := newBench()
	m := b.machine(1)
	m.Limit(Limits{})
	if err := m.do(t.Context(), "G1", 'E', 5.0, 'F', 60.0); err == nil || len(b.sent) > 0 {
		t.Errorf("without a setup: %v, sent %v", err, b.sent)
	}
}
