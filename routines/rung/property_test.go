package rung

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

func anyStart(t *rapid.T) Start {
	odd := []float64{math.NaN(), math.Inf(1), -1, 0}
	number := func(name string, low, high float64) float64 {
		if rapid.IntRange(0, 9).Draw(t, name+" is odd") == 0 {
			return rapid.SampledFrom(odd).Draw(t, name)
		}
		return rapid.Float64Range(low, high).Draw(t, name)
	}
	return Start{
		Tube: rapid.Bool().Draw(t, "tube"), FilamentMM: rapid.SampledFrom([]float64{1.75, 2.85, 0}).Draw(t, "filament"),
		LikelyMM: number("likely", 0.01, 12), CeilingMM: number("ceiling", 0.05, 12),
		CommonMM: [2]float64{number("common low", 0, 4), number("common high", 1, 10)},
	}
}

// anyPrints are prints that no person would make: any length, any grade, anything flagged.
func anyPrints(t *rapid.T) []Print {
	gap := rapid.Custom(func(t *rapid.T) Gap {
		return Gap{rapid.SampledFrom([]float64{6, 9, 14, 22, 0, -3, math.NaN(), math.Inf(1)}).Draw(t, "gap"), rapid.IntRange(-1, 6).Draw(t, "grade")}
	})
	flag := func(t *rapid.T, name string) bool { return rapid.IntRange(0, 19).Draw(t, name) == 0 }
	band := rapid.Custom(func(t *rapid.T) Band {
		length := rapid.OneOf(rapid.Float64Range(0, 9), rapid.SampledFrom([]float64{math.NaN(), -1, 1e300}))
		return Band{length.Draw(t, "length"), rapid.SliceOfN(gap, 0, 4).Draw(t, "gaps"), rapid.Bool().Draw(t, "voids"),
			flag(t, "clicking"), flag(t, "ground"), flag(t, "clogged")}
	})
	piece := rapid.Custom(func(t *rapid.T) Print {
		return Print{rapid.SliceOfN(band, 0, 8).Draw(t, "bands"), rapid.Bool().Draw(t, "confirming")}
	})
	return rapid.SliceOfN(piece, 0, 5).Draw(t, "prints")
}

// TestAnyPrintsGetAFitChoice: whatever was seen, the choice holds to the ceiling, has eight lengths in order and equal
// rungs, is the same the second time, and does not depend on the order of prints of one sort.
func TestAnyPrintsGetAFitChoice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, prints := anyStart(t), anyPrints(t)
		n := Choose(s, prints)
		held := s.sound()
		if s.CeilingMM > 0 && held.CeilingMM > s.CeilingMM {
			t.Fatalf("the ceiling %v became %v", s.CeilingMM, held.CeilingMM)
		}
		if bad := unfit(held, n); bad != "" {
			t.Fatalf("%s: %+v", bad, n)
		}
		if again := Choose(s, prints); !reflect.DeepEqual(n, again) {
			t.Fatalf("then %+v, now %+v", n, again)
		}
		if last := len(prints) - 1; last > 1 {
			mixed := append(rapid.Permutation(prints[:last]).Draw(t, "order"), prints[last])
			if other := Choose(s, mixed); !reflect.DeepEqual(n, other) {
				t.Fatalf("in one order %+v, in another %+v", n, other)
			}
		}
	})
}

// TestAnyGradesEnd: a rater who grades at random, all alike or all wrong, comes to a finding within MostPrints prints.
func TestAnyGradesEnd(t *testing.T) {
	raters := map[string]func(*rand.Rand, int) int{
		"at random":      func(r *rand.Rand, _ int) int { return r.IntN(5) },
		"always clean":   func(*rand.Rand, int) int { return 0 },
		"always webs":    func(*rand.Rand, int) int { return 4 },
		"upside down":    func(_ *rand.Rand, band int) int { return band / 2 },
		"in turn":        func(_ *rand.Rand, band int) int { return 4 * (band % 2) },
		"hair or thread": func(r *rand.Rand, _ int) int { return 1 + r.IntN(2) },
	}
	for name, grade := range raters {
		for _, tube := range []bool{false, true} {
			s := specimenOf(2, tube, false).start
			random := rand.New(rand.NewPCG(1, 2))
			var prints []Print
			n := Choose(s, nil)
			for ; n.Do == DoPrint || n.Do == DoConfirm; n = Choose(s, prints) {
				if bad := unfit(s, n); bad != "" {
					t.Fatalf("%s, tube %v: %s: %+v", name, tube, bad, n)
				}
				p := Print{Confirming: n.Do == DoConfirm}
				for i, mm := range n.LengthsMM {
					p.Bands = append(p.Bands, Band{LengthMM: mm, Gaps: []Gap{{6, grade(random, i)}, {22, grade(random, i)}}})
				}
				prints = append(prints, p)
			}
			t.Logf("%s, tube %v: %s %.2f after %d prints", name, tube, n.Do, n.ValueMM, len(prints))
			if bad := unfit(s, n); bad != "" || len(prints) > MostPrints {
				t.Errorf("%s, tube %v: %d prints, %q: %+v", name, tube, len(prints), bad, n)
			}
		}
	}
}
