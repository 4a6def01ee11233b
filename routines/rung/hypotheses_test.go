package rung

import (
	"math"
	"testing"
)

// Every curve passes the limit of sufficient where it says it does, and never rises.
func TestCurvesReachSufficientAtTheirNeed(t *testing.T) {
	for _, tube := range []bool{false, true} {
		s := Start{Tube: tube}.sound()
		sc := scaleOf(s.CeilingMM)
		for _, h := range ideas(s, sc) {
			if at := h.score(sc.at(h.need)); !h.damp && math.Abs(at-sufficientScore) > 1e-9 {
				t.Fatalf("%+v has a score of %v at its need of %.2f mm", h, at, sc.at(h.need))
			}
			before := math.Inf(1)
			for k := range sc.top + 1 {
				now := h.score(sc.at(k))
				if now > before+1e-9 || now < 0 || now > 4.5 {
					t.Fatalf("%+v goes from %v to %v at %.2f mm", h, before, now, sc.at(k))
				}
				if before = now; h.damp && now <= sufficientScore {
					t.Fatalf("%+v is damp and sufficient at %.2f mm", h, sc.at(k))
				}
			}
		}
	}
}

// On a tube the plateau of our own melt model is 73, 67, 62, 60 um at 1, 2, 3 and 3.5 mm: nothing that an eye tells apart.
func TestPlateauLooksAlike(t *testing.T) {
	c := cliff(3.4, 0, sufficientScore, 4, 0.5)
	if fall := c.score(1) - c.score(3.5); fall > 0.5 {
		t.Errorf("the plateau falls by %.2f grades", fall)
	}
	if fall := c.score(3.5) - c.score(4.5); fall < 2.5 {
		t.Errorf("the cliff falls by %.2f grades only", fall)
	}
}

func TestPriorIsWholeAndExcludesNothing(t *testing.T) {
	for _, s := range []Start{{}, {Tube: true}, {FilamentMM: 2.85}, {Tube: true, FilamentMM: 2.85, LikelyMM: 6, CommonMM: [2]float64{3, 10}}} {
		s = s.sound()
		sc := scaleOf(s.CeilingMM)
		sum := 0.0
		for _, h := range ideas(s, sc) {
			sum += h.weight
		}
		if math.Abs(sum-1) > 1e-9 {
			t.Errorf("%+v: the prior comes to %v", s, sum)
		}
		b := believe(s, nil)
		for k := 1; k <= sc.top; k++ {
			if b.need[k] < 1e-5 {
				t.Errorf("%+v: %.2f mm is as good as excluded: %v", s, sc.at(k), b.need[k])
			}
		}
	}
}

func TestStartsOfTheTrade(t *testing.T) {
	for _, c := range []struct {
		start   Start
		ceiling float64
	}{{Start{FilamentMM: 1.75}, 2}, {Start{FilamentMM: 2.85}, 1}, {Start{Tube: true, FilamentMM: 1.75}, 8}, {Start{Tube: true, FilamentMM: 2.85}, 10}} {
		if got := c.start.sound().CeilingMM; got != c.ceiling { // common practice, no source
			t.Errorf("%+v: ceiling %v, want %v", c.start, got, c.ceiling)
		}
	}
}
