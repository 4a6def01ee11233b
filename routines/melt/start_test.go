package melt

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestStarts holds the start values to common practice, no source.
func TestStarts(t *testing.T) {
	tube := Path{Tube: true, FilamentMM: 1.75, BoreMM: 2, LengthMM: 600, QuarterTurns: 3}
	with := func(change func(*Path)) Path { p := tube; change(&p); return p }
	rows := []struct {
		what             string
		path             Path
		low, high, least float64
	}{
		{"direct drive", Path{FilamentMM: 1.75}, 1, 1, 2},
		{"direct drive, 2.85", Path{FilamentMM: 2.85}, 0.1, 1, 1},
		{"600 mm of tube and 270 degrees: about 4.5", tube, 4.2, 4.8, 8},
		{"2.85 in 4.0", with(func(p *Path) { p.FilamentMM, p.BoreMM, p.OuterMM = 2.85, 4, 6 }), 6, 9, 10},
		{"flexible filament in a tube", with(func(p *Path) { p.Flexible = true }), 3, 3, 8},
		{"a cold side at 3 mm", with(func(p *Path) { p.ColdSideMM = 3 }), 2.75, 2.75, 2.75},
		{"a cold side far off", with(func(p *Path) { p.ColdSideMM = 30 }), 4.2, 4.8, 8},
		{"direct drive with a cold side at 1.5 mm", Path{FilamentMM: 1.75, ColdSideMM: 1.5}, 1, 1, 1.25},
		{"a tube of which nothing is known", Path{Tube: true, FilamentMM: 1.75}, 3, 3, 8},
		{"a tube without its bore", with(func(p *Path) { p.BoreMM = 0 }), 3, 3, 8},
		{"a tube without its length", with(func(p *Path) { p.LengthMM = 0 }), 3, 3, 8},
		{"a tube without a wall: as if twice the bore", with(func(p *Path) { p.OuterMM = 2 }), 4.2, 4.8, 8},
	}
	for _, r := range rows {
		s := StartOf(r.path)
		if s.MM < r.low || s.MM > r.high || s.CeilingMM != r.least {
			t.Errorf("%s: %+v", r.what, s)
		}
	}
	if s := StartOf(with(func(p *Path) { p.ModulusMPa = 25 })); len(s.Parts) != 0 || !strings.Contains(s.Note, "soft") {
		t.Errorf("soft filament: %+v", s)
	}
	if s := StartOf(with(func(p *Path) { p.BoreMM = 0 })); len(s.Parts) != 0 || !strings.Contains(s.Note, "not known") {
		t.Errorf("a tube without its bore: %+v", s)
	}
	if s := StartOf(with(func(p *Path) { p.ColdSideMM = 3 })); !strings.Contains(s.Note, "cold side") {
		t.Errorf("a cold side: %+v", s)
	}
}

// TestStartIsItsParts: the parts add up, none is below zero, and no start passes its ceiling.
func TestStartIsItsParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.SampledFrom([]float64{1.75, 2.85}).Draw(t, "filament")
		p := Path{Tube: true, FilamentMM: d, BoreMM: d + rapid.Float64Range(0.05, 1.3).Draw(t, "clearance"), LengthMM: rapid.Float64Range(50, 1200).Draw(t, "length"),
			QuarterTurns: rapid.Float64Range(0, 8).Draw(t, "turns"), CouplerPlayMM: rapid.Float64Range(0, 3).Draw(t, "play")}
		s, sum := StartOf(p), 0.0
		for _, part := range s.Parts {
			if part.MM < 0 {
				t.Fatalf("%+v", s)
			}
			sum += part.MM
		}
		if s.MM > s.CeilingMM || math.Abs(math.Min(sum, s.CeilingMM)-s.MM) > 1e-9 {
			t.Fatalf("%+v adds up to %g", s, sum)
		}
	})
}

// TestEveryStartIsANumber: whatever is not known of a path, its start lies between nothing and the ceiling, and the ceiling
// short of the cold side.
func TestEveryStartIsANumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := func(most float64, name string) float64 {
			return rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(-1, most)).Draw(t, name)
		}
		p := Path{Tube: rapid.Bool().Draw(t, "tube"), FilamentMM: mm(3, "filament"), BoreMM: mm(5, "bore"), OuterMM: mm(8, "outer"),
			LengthMM: mm(900, "length"), ModulusMPa: mm(4000, "modulus"), ColdSideMM: mm(20, "cold side")}
		s := StartOf(p)
		if !(s.MM >= 0 && s.MM <= s.CeilingMM && s.CeilingMM <= 10) || p.ColdSideMM > 0.25 && s.CeilingMM > p.ColdSideMM-0.25 {
			t.Fatalf("%+v of %+v", s, p)
		}
	})
}

// TestOozeAndDeficit: a stroke within the slack changes nothing, one past slack and spring leaves only what no stroke takes
// off, and the deficit grows on both sides of what is needed.
func TestOozeAndDeficit(t *testing.T) {
	m := Melt{SpringMM: 1.2, SlackMM: 1.1, EmptiesInS: 0.15, FilamentMM: 1.75, WeightMM: 0.001}
	const s = 0.2
	if a, b := m.OozeMM3(0, s), m.OozeMM3(m.SlackMM, s); a != b || a <= 0 {
		t.Errorf("within the slack the ooze goes from %g to %g", a, b)
	}
	need := m.SlackMM + m.SpringMM
	if left := m.OozeMM3(need, s); left > 0.01*m.OozeMM3(0, s) {
		t.Errorf("%g mm3 are left at the length needed", left)
	}
	if !(m.DeficitMM3(need-0.5, s) > m.DeficitMM3(need, s) && m.DeficitMM3(need+0.5, s) > m.DeficitMM3(need, s)) {
		t.Error("the deficit is not least at the length needed")
	}
	if more := m.DeficitMM3(need+1, s) - m.DeficitMM3(need+0.5, s); math.Abs(more-0.05) > 0.01 {
		t.Errorf("half a millimetre too long costs %g mm3, want about 0.05", more)
	}
}
