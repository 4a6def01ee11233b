package main

import (
	"fmt"
	"math"
	"testing"
	"time"

	"fettle/routines/piece"
	"fettle/serialio/gcode"
	"fettle/serialio/standin"
)

// dry is a stand-in without its line, in its own time: what a piece takes and leaves, without waiting for either.
type dry struct {
	testing.TB
	*standin.Firmware
}

func newDry(t testing.TB, p standin.Profile) dry {
	p.ResetsOnOpen, p.BusyEvery = false, -1
	d := dry{t, standin.New(p)}
	d.Advance(2 * time.Second)
	d.Say()
	d.line(fmt.Sprintf("M109 S%g", p.Material.NozzleC))
	return d
}

// line sends one and lets time pass until it is answered.
func (d dry) line(line string) {
	d.Hear([]byte(line + "\n"))
	for d.Say() == nil {
		due, ok := d.Due()
		if !ok {
			d.Fatalf("no answer to %s", line)
		}
		d.Advance(due)
	}
}

// took streams a part and says how long it took, to the last move.
func (d dry) took(p gcode.Program) time.Duration {
	began := d.Snapshot().Now
	var room [128]byte
	for s := range p.Steps {
		d.line(string(s.Block.Append(room[:0])))
	}
	d.line("M400")
	return d.Snapshot().Now - began
}

// ofStandIn is the piece of a stand-in, by what that reports of itself.
func ofStandIn(variable piece.Variable, values []float64) piece.Spec {
	s := piece.Spec{Variable: variable, Values: values, Before: []string{"G28"}}
	s.Machine = piece.Machine{BuildMM: [3]float64{220, 220, 200}, MaxFeedMMPerS: [4]float64{300, 300, 8, 60}, MaxAccelMMPerS2: [4]float64{2000, 2000, 100, 5000},
		PrintAccelMMPerS2: 1000, TravelAccelMMPerS2: 1200, RetractAccelMMPerS2: 1500, FeedMaxMMPerS: 25}
	s.Held = piece.Held{FilamentMM: 1.75, NozzleBoreMM: 0.4, LineWidthMM: 0.45, LayerMM: 0.25, PrintMMPerS: 40, FlowFactor: 1, FanPercent: 100,
		TravelMMPerS: 150, RetractMM: 1, RetractMMPerS: 25, RestartMMPerS: 25}
	return s
}

func stairs(from, by float64) []float64 {
	values := make([]float64, piece.Bands)
	for i := range values {
		values[i] = from + by*float64(i)
	}
	return values
}

// What a piece is said to take is what the stand-in takes, within 3 %, whatever is varied and whoever retracts. What is said
// leaves out the printer's own lines before a print, which here home it.
func TestAPieceLastsAsLongAsItIsSaidTo(t *testing.T) {
	tube := func(s piece.Spec) piece.Spec { s.Held.Tube, s.Held.RetractMM = true, 4; return s }
	byFirmware := func(s piece.Spec) piece.Spec { s.Held.Firmware = true; return s }
	for _, c := range []struct {
		name    string
		profile standin.Profile
		spec    piece.Spec
	}{
		{"direct", standin.InventedDirect(), ofStandIn(piece.Length, stairs(0.25, 0.25))},
		{"direct, firmware retracts", standin.InventedDirect(), byFirmware(ofStandIn(piece.Length, stairs(0.25, 0.25)))},
		{"direct, travel", standin.InventedDirect(), ofStandIn(piece.Travel, stairs(30, 25))},
		{"tube", standin.InventedTube(), tube(ofStandIn(piece.Length, stairs(2, 0.5)))},
		{"tube, firmware retracts", standin.InventedTube(), byFirmware(tube(ofStandIn(piece.Length, stairs(2, 0.5))))},
		{"tube, travel", standin.InventedTube(), tube(ofStandIn(piece.Travel, stairs(30, 25)))},
	} {
		p, err := piece.Plan(c.spec)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		d := newDry(t, c.profile)
		said, took := p.Foot().All.Lasts, d.took(p.Foot().Program)
		worst := 0.0
		for i := range piece.Bands {
			is := d.took(p.Band(i).Program)
			said, took = said+p.Band(i).All.Lasts, took+is
			worst = math.Max(worst, math.Abs(p.Band(i).All.Lasts.Seconds()/is.Seconds()-1))
		}
		said, took = said+p.End().All.Lasts, took+d.took(p.End().Program)
		ratio := said.Seconds() / took.Seconds()
		t.Logf("%-25s said %6.1f s, took %6.1f s: ratio %.4f; bands within %.2f %%; %d lines, %.2f m", c.name, said.Seconds(), took.Seconds(), ratio,
			100*worst, p.Whole().All.Lines, p.Whole().FilamentMM/1000)
		if math.Abs(ratio-1) > 0.03 || worst > 0.03 {
			t.Errorf("%s: the estimate is off by %+.1f %%, that of a band by up to %.1f %%", c.name, 100*(ratio-1), 100*worst)
		}
		if look := d.Bench().LookAtPiece(0); len(look.Bands) != piece.Bands || look.Crashed {
			t.Errorf("%s: %d whole bands lie on the bed, struck: %v", c.name, len(look.Bands), look.Crashed)
		}
	}
}
