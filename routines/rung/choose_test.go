package rung

import (
	"slices"
	"strings"
	"testing"
)

// steady follows the chooser as long as it prints, with grades that depend on the length alone.
func steady(s Start, grade func(mm float64) int, while ...string) (Next, []Print) {
	var prints []Print
	n := Choose(s, nil)
	for ; slices.Contains(while, n.Do); n = Choose(s, prints) {
		var all []int
		for _, mm := range n.LengthsMM {
			all = append(all, grade(mm))
		}
		p := graded(n.LengthsMM, all...)
		p.Confirming = n.Do == DoConfirm
		prints = append(prints, p)
	}
	return n, prints
}

func confirming(lengthMM float64, grades ...int) Print {
	p := graded(slices.Repeat([]float64{lengthMM}, Bands), grades...)
	p.Confirming = true
	return p
}

// TestOnlyOneLengthIsConfirmed: pieces that hold several lengths, or one above the ceiling, confirm nothing.
func TestOnlyOneLengthIsConfirmed(t *testing.T) {
	mixed := graded([]float64{4, 4, 4, 4, 4, 4, 4, 4.5}, 0)
	mixed.Confirming = true
	for name, p := range map[string]Print{"mixed": mixed, "above the ceiling": confirming(8.5, 0), "none": confirming(0, 0)} {
		if n := Choose(tubeStart(), []Print{p}); n.Do == DoTake {
			t.Errorf("%s: %+v", name, n)
		}
	}
}

func cliffAt(mm float64) func(float64) int {
	return func(length float64) int {
		if length < mm {
			return 3
		}
		return 0
	}
}

func TestConfirmedIsTaken(t *testing.T) {
	n, prints := steady(tubeStart(), cliffAt(4.3), DoPrint)
	if n.Do != DoConfirm || n.ValueMM < 4.2 || n.ValueMM > 4.55 {
		t.Fatalf("%+v", n)
	}
	taken := Choose(tubeStart(), append(prints, confirming(n.ValueMM, 0, 1, 0, 0, 2, 0, 0, 1)))
	if taken.Do != DoTake || taken.ValueMM != n.ValueMM || taken.LengthsMM != nil || taken.PrintsLeft != 0 {
		t.Errorf("%+v", taken)
	}
}

// A surprise goes back into the belief: the value moves up, and it is not taken.
func TestSurpriseGoesBackIn(t *testing.T) {
	n, prints := steady(tubeStart(), cliffAt(4.3), DoPrint)
	after := Choose(tubeStart(), append(prints, confirming(n.ValueMM, 3, 3, 3, 2, 3, 3, 3, 3)))
	if after.Do != DoPrint && after.Do != DoConfirm || after.ValueMM <= n.ValueMM {
		t.Errorf("strings at %.2f mm, and then %+v", n.ValueMM, after)
	}
}

// Strings that do not change over the whole range, and those that still thin out at the ceiling, are different findings.
func TestNoLengthServes(t *testing.T) {
	damp, _ := steady(tubeStart(), func(mm float64) int {
		if mm < 2 {
			return 4
		}
		return 3
	}, DoPrint, DoConfirm)
	if damp.Do != DoDamp || damp.ValueMM != 0 {
		t.Errorf("level strings: %+v", damp)
	}
	thinning, _ := steady(directStart(), func(mm float64) int { return int(4.9 - 2*max(0, mm-0.9)) }, DoPrint, DoConfirm)
	if thinning.Do != DoNotReached {
		t.Errorf("thinning strings: %+v", thinning)
	}
}

// Voids wherever strings are few enough leave nothing to choose.
func TestVoidsForbid(t *testing.T) {
	s, prints := directStart(), []Print{}
	n := Choose(s, nil)
	for ; n.Do == DoPrint || n.Do == DoConfirm; n = Choose(s, prints) {
		var p Print
		for _, mm := range n.LengthsMM {
			g := cliffAt(0.9)(mm)
			p.Bands = append(p.Bands, Band{LengthMM: mm, Gaps: []Gap{{6, g}, {22, g}}, Voids: g == 0})
		}
		p.Confirming = n.Do == DoConfirm
		prints = append(prints, p)
	}
	if n.Do != DoNone {
		t.Errorf("after %d prints: %+v", len(prints), n)
	}
}

func TestGroundOrClickingIsNotAboutTheLength(t *testing.T) {
	for name, spoil := range map[string]func(*Print){
		"clogged at the value": func(p *Print) { p.Bands[3].Clogged = true },
		"clicking all over": func(p *Print) {
			for i := range 5 {
				p.Bands[i].Clicking = true
			}
		},
	} {
		p := graded(Choose(tubeStart(), nil).LengthsMM, 3, 3, 3, 3, 0, 0, 0, 0)
		spoil(&p)
		if n := Choose(tubeStart(), []Print{p}); n.Do != DoHotEnd {
			t.Errorf("%s: %+v", name, n)
		}
	}
	p := graded(Choose(tubeStart(), nil).LengthsMM, 3, 3, 3, 3, 0, 0, 0, 0)
	p.Bands[7].Ground = true
	if n := Choose(tubeStart(), []Print{p}); n.Do == DoHotEnd {
		t.Errorf("ground far beyond need, once: %+v", n)
	}
}

func TestJudged(t *testing.T) {
	voids := confirming(4, 0)
	for i := range voids.Bands {
		voids.Bands[i].Voids = true
	}
	few := confirming(4, 0)
	for i := range 5 {
		few.Bands[i].Gaps = nil
	}
	for _, c := range []struct {
		name string
		p    Print
		want bool
	}{
		{"clean", confirming(4, 0), true}, {"hairs", confirming(4, 1), true}, {"threads", confirming(4, 2), false},
		{"a slip", confirming(4, 4, 1, 0, 0, 1, 1, 0, 1), true}, {"mostly threads", confirming(4, 0, 1, 0, 2, 2, 2, 2, 2), false},
		{"voids", voids, false}, {"hardly looked at", few, false}, {"nothing", Print{Confirming: true}, false},
	} {
		if got := judged(c.p); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// Each step says on a phone what is believed, why these rungs, and how many prints are left.
func TestWhy(t *testing.T) {
	first := Choose(tubeStart(), nil)
	second := Choose(tubeStart(), []Print{graded(first.LengthsMM, 3, 3, 2, 3, 2, 1, 0, 0)})
	for _, n := range []Next{first, second} {
		for _, part := range []string{"Strings seem to end", "bands from", "left, this one among them"} {
			if !strings.Contains(n.Why, part) {
				t.Errorf("%q does not say %q", n.Why, part)
			}
		}
	}
	if !strings.Contains(second.Why, "between the earlier ones") {
		t.Errorf("%q", second.Why)
	}
}
