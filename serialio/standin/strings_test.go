package standin

import (
	"testing"

	"pgregory.net/rapid"
)

// fedRight is a machine after its feed check.
func fedRight(p Profile, change func(*Profile)) Profile {
	p.TrueStepsPerMM = p.StepsPerMM[axisE]
	if change != nil {
		change(&p)
	}
	return p
}

// across14 is the thread over 14 mm at some lengths, um.
func across14(p Profile, c Crossing, lengthsMM ...float64) (um []float64) {
	s := StringsOf(p, c)
	for _, mm := range lengthsMM {
		um = append(um, s.Cross(mm, 150, 14).ThreadUM)
	}
	return um
}

// The figures are of a simulation made before this one, with other equations: a plateau of 73, 67, 62 and 60 um at 1, 2, 3
// and 3.5 mm, 27 at 4.0, nothing at 4.5.
func TestATubeHasAPlateauAndACliff(t *testing.T) {
	um := across14(fedRight(InventedTube(), nil), Crossing{FlowMM3PerS: 3.8}, 1, 2, 3, 3.5, 4, 4.5)
	for i, want := range []float64{73, 67, 62, 60, 27, 0} {
		mustBe(t, "um", um[i], want, 3)
	}
}

func TestADirectDriveThinsOutEvenly(t *testing.T) {
	um := across14(fedRight(InventedDirect(), nil), Crossing{}, 0, 0.2, 0.4, 0.6, 0.8, 1.5)
	for i := 1; i < 4; i++ {
		mustBe(t, "um less in 0.2 mm", um[i-1]-um[i], (um[0]-um[3])/3, 2.5)
	}
	if um[0] < 50 || um[4] > 8 || um[5] > 8 {
		t.Errorf("threads are %.1f um", um)
	}
}

func TestTheWholeLengthCountsWhereTheGearFeedsShort(t *testing.T) {
	right, short := StringsOf(fedRight(InventedTube(), nil), Crossing{}), StringsOf(InventedTube(), Crossing{})
	a, okA := right.SufficientMM()
	b, okB := short.SufficientMM()
	mustBe(t, "mm commanded where 98.4 of 100 arrive", b, a*94.512/93, 0.011)
	if !okA || !okB {
		t.Error("one has no sufficient length")
	}
}

// Common practice, no source, for which way each goes; how far is ours.
func TestWhatMovesTheNeededLength(t *testing.T) {
	need := func(p Profile, c Crossing) float64 {
		s := StringsOf(fedRight(p, nil), c)
		mm, ok := s.SufficientMM()
		if !ok {
			t.Errorf("%s: no length serves", p.Name)
		}
		return mm
	}
	direct, tube := InventedDirect(), InventedTube()
	loose := tube
	loose.SlackMM += 2
	mustBe(t, "2 mm more play", need(loose, Crossing{})-need(tube, Crossing{}), 2, 0.2)
	mustBe(t, "15 C hotter", need(direct, Crossing{NozzleC: 220})-need(direct, Crossing{}), 0.15, 0.05)
	mustBe(t, "twice the flow, tube", need(tube, Crossing{FlowMM3PerS: 8})-need(tube, Crossing{}), 0.3, 0.25)
	mustBe(t, "twice the flow, direct", need(direct, Crossing{FlowMM3PerS: 8})-need(direct, Crossing{}), 0.2, 0.15)
	stringy := direct
	stringy.Material = Tough()
	if need(stringy, Crossing{}) < need(direct, Crossing{})+0.1 {
		t.Error("the tough material asks for no longer stroke than the stiff one")
	}
}

func TestFlexibleMaterialIsNotReachedByADirectDrive(t *testing.T) {
	p := fedRight(InventedDirect(), func(p *Profile) { p.Material = Flexible() })
	s := StringsOf(p, Crossing{})
	if mm, ok := s.SufficientMM(); ok {
		t.Errorf("%v mm is said to serve", mm)
	}
	s = StringsOf(p, Crossing{CeilingMM: 4})
	mm, ok := s.SufficientMM()
	if !ok || mm < 2.2 || mm > 2.9 {
		t.Errorf("without its ceiling %v mm, %v", mm, ok)
	}
}

// Faster travel is not seen: from 100 to 300 mm/s a thread changes by less than half a grade.
func TestFasterTravelBarelyChangesAThread(t *testing.T) {
	s := StringsOf(fedRight(InventedTube(), nil), Crossing{TravelAccelMMPerS2: 3000})
	for _, mm := range []float64{3, 4, 5} {
		for i, slow := range s.Band(mm, 100, nil) {
			fast := s.Band(mm, 300, nil)[i]
			if change := score(slow.ThreadUM) - score(fast.ThreadUM); change < 0 || change > 0.5 {
				t.Errorf("%v mm over %v: %.1f and %.1f um", mm, slow.GapMM, slow.ThreadUM, fast.ThreadUM)
			}
		}
	}
	worst := s.Cross(0, 40, 14)
	if g := gradeOf(worst.ThreadUM); g != 4 {
		t.Errorf("40 mm/s without a stroke gives grade %d", g)
	}
}

// 0.05 mm3 for each 0.5 mm beyond need; of 2.85 mm filament 0.13.
func TestTooLongAStrokeLeavesVoids(t *testing.T) {
	for diameter, want := range map[float64]float64{1.75: 0.05, 2.85: 0.13} {
		s := StringsOf(fedRight(InventedTube(), func(p *Profile) { p.FilamentMM = diameter }), Crossing{})
		a, b := s.Cross(6, 150, 14), s.Cross(6.5, 150, 14)
		mustBe(t, "mm3 more", b.VoidMM3-a.VoidMM3, want, 0.005)
		if short := s.Cross(3, 150, 14); short.VoidMM3 < s.Cross(4.4, 150, 14).VoidMM3 {
			t.Errorf("too short a stroke lacks only %v mm3", short.VoidMM3)
		}
	}
}

func TestDampFilamentStringsWhateverTheLength(t *testing.T) {
	for _, p := range []Profile{InventedDirect(), InventedTube()} {
		p.Damp = true
		s := StringsOf(p, Crossing{})
		half, all := s.way.CeilingMM*0.7, s.way.CeilingMM
		for i, th := range s.Band(all, 0, nil) {
			if gradeOf(th.ThreadUM) < 2 {
				t.Errorf("%.1f um at the ceiling", th.ThreadUM)
			}
			mustBe(t, "um at the ceiling", th.ThreadUM, s.Band(half, 0, nil)[i].ThreadUM, 0.5)
		}
		if mm, ok := s.SufficientMM(); ok {
			t.Errorf("%v mm is said to serve", mm)
		}
	}
}

// From the length that is said to serve no longer one shows more than hairs, and the next shorter one does.
func TestSufficientIsWhatItIsDefinedAs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Machines(rapid.Uint64().Draw(t, "seed"), 3)[rapid.IntRange(0, 2).Draw(t, "machine")]
		s := StringsOf(p, Crossing{})
		mm, ok := s.SufficientMM()
		worst := func(mm float64) (g int, void float64) {
			for _, th := range s.Band(mm, 0, nil) {
				g, void = max(g, gradeOf(th.ThreadUM)), max(void, th.VoidMM3)
			}
			return g, void
		}
		if !ok {
			if g, _ := worst(s.way.CeilingMM); g < 2 && p.RestartLackMM3 == 0 {
				t.Fatalf("%s: none, though the ceiling is clean", p.Name)
			}
			return
		}
		if g, void := worst(mm); g > 1 || void > seenMM3 {
			t.Fatalf("%s: %v mm shows grade %d and %v mm3", p.Name, mm, g, void)
		}
		if g, _ := worst(mm - 0.011); g < 2 {
			t.Fatalf("%s: a shorter one than %v mm serves", p.Name, mm)
		}
		if g, _ := worst(rapid.Float64Range(mm, s.way.CeilingMM).Draw(t, "longer")); g > 1 {
			t.Fatalf("%s: a longer one does not serve", p.Name)
		}
	})
}

func TestRatersScatter(t *testing.T) {
	s := StringsOf(InventedTube(), Crossing{})
	same, other := NewRater(7, 0.35), NewRater(7, 0.35)
	off := map[float64]int{}
	for _, scatter := range []float64{0, 0.35, 0.6} {
		r := NewRater(1, scatter)
		for range 500 {
			grades, _ := r.Band(s.Band(3, 0, []float64{14}))
			if grades[0] != 3 {
				off[scatter]++
			}
		}
	}
	if off[0] != 0 || off[0.35] < 20 || off[0.6] < off[0.35]*3/2 {
		t.Errorf("of 500 looks %v were not a 3", off)
	}
	for range 50 {
		a, voidsA := same.Band(s.Band(4, 0, nil))
		b, voidsB := other.Band(s.Band(4, 0, nil))
		if a[0] != b[0] || a[3] != b[3] || voidsA != voidsB {
			t.Fatal("the same person grades differently")
		}
	}
	if _, voids := same.Band(s.Band(8, 0, nil)); !voids {
		t.Error("no voids are seen at 8 mm")
	}
}
