package rung

import (
	"math"
	"slices"
	"testing"
)

func tubeStart() Start {
	return Start{Tube: true, FilamentMM: 1.75, LikelyMM: 4.5, CeilingMM: 8, CommonMM: [2]float64{3, 8}}
}

func directStart() Start {
	return Start{FilamentMM: 1.75, LikelyMM: 1, CeilingMM: 2, CommonMM: [2]float64{0.5, 2}}
}

func TestOpenings(t *testing.T) {
	for _, c := range []struct {
		start Start
		want  []float64
	}{
		{directStart(), []float64{0.25, 0.5, 0.75, 1, 1.25, 1.5, 1.75, 2}},
		{tubeStart(), []float64{2.75, 3.25, 3.75, 4.25, 4.75, 5.25, 5.75, 6.25}},
		{Start{FilamentMM: 2.85, LikelyMM: 0.5, CeilingMM: 1}, []float64{0.15, 0.25, 0.35, 0.45, 0.55, 0.65, 0.75, 0.85}},
		{Start{Tube: true, LikelyMM: 7.9, CeilingMM: 8}, []float64{4.5, 5, 5.5, 6, 6.5, 7, 7.5, 8}},
	} {
		if n := Choose(c.start, nil); n.Do != DoPrint || !slices.Equal(n.LengthsMM, c.want) {
			t.Errorf("%+v opens with %s %v, want %v", c.start, n.Do, n.LengthsMM, c.want)
		}
	}
}

// graded is a print of two gaps a band with these grades.
func graded(lengthsMM []float64, grades ...int) Print {
	var p Print
	for i, mm := range lengthsMM {
		g := grades[min(i, len(grades)-1)]
		p.Bands = append(p.Bands, Band{LengthMM: mm, Gaps: []Gap{{6, g}, {22, g}}})
	}
	return p
}

// A cliff somewhere between two bands that is not sharp: the next piece has small rungs there, and bands where none were.
func TestSecondPieceLiesBetweenTheFirst(t *testing.T) {
	first := Choose(tubeStart(), nil).LengthsMM
	prints := []Print{graded(first, 3, 3, 2, 3, 2, 1, 0, 0)}
	n := Choose(tubeStart(), prints)
	if n.Do != DoPrint {
		t.Fatalf("%+v", n)
	}
	if r := n.LengthsMM[1] - n.LengthsMM[0]; math.Abs(r-0.25) > 1e-9 {
		t.Errorf("rungs of %.2f mm, want 0.25", r)
	}
	inside := 0
	for _, mm := range n.LengthsMM {
		if mm > 4.75 && mm < 5.25 {
			inside++
		}
	}
	if inside == 0 {
		t.Errorf("no band between 4.75 and 5.25 mm: %v", n.LengthsMM)
	}
}

// What a piece tells is never less than nothing, nor more than all there is to know.
func TestGainHasBounds(t *testing.T) {
	for _, s := range []Start{tubeStart(), directStart()} {
		b := believe(s, nil)
		l := b.lens()
		for _, p := range candidates(s, b.scale) {
			if g := l.gain(p.lengths(b)); g < -1e-9 || g > l.all()+1e-9 {
				t.Fatalf("%+v gains %v of %v", p, g, l.all())
			}
		}
	}
}

// The opening of common practice is nearly as good as the best there is by the prior.
func TestOpeningTellsMuch(t *testing.T) {
	for _, s := range []Start{tubeStart(), directStart()} {
		b := believe(s, nil)
		l := b.lens()
		_, most := b.best(l)
		if g := l.gain(opening(s, b.scale).lengths(b)); g < 0.85*most {
			t.Errorf("tube %v: the opening gains %.2f nats, the best piece %.2f", s.Tube, g, most)
		}
	}
}
