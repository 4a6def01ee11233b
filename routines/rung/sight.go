package rung

import (
	"cmp"
	"math"
	"slices"
)

// A sight is all looks at one length, whichever pieces they come from.
type sight struct {
	steps int
	mm    float64
	looks []Gap
	voids int // bands with voids and without strings
	whole int // bands without strings
	bands int // all of them
}

// sights gathers what was seen by length, shortest first. What is no grade or no length is left out, and so are bands
// that were printed without plastic.
func sights(sc scale, prints []Print) []sight {
	var all []sight
	for _, p := range prints {
		for _, b := range p.Bands {
			if b.seen() {
				all = gather(all, sc, b)
			}
		}
	}
	for i := range all {
		slices.SortFunc(all[i].looks, func(a, b Gap) int {
			return cmp.Or(a.Grade-b.Grade, cmp.Compare(a.MM, b.MM))
		})
	}
	return all
}

// seen says whether a band can tell anything about strings.
func (b Band) seen() bool {
	return b.LengthMM >= 0 && b.LengthMM <= mostCeilingMM && len(b.looks()) > 0 && !b.starved()
}

// starved says that no filament came: what is missing there is not strings.
func (b Band) starved() bool { return b.Ground || b.Clogged }

// looks are the gaps that can be believed.
func (b Band) looks() []Gap {
	var good []Gap
	for _, g := range b.Gaps {
		if g.Grade >= 0 && g.Grade < grades && g.MM >= 0 && !math.IsInf(g.MM, 0) {
			good = append(good, g)
		}
	}
	return good
}

// meanGrade is the mean of some looks.
func meanGrade(looks []Gap) float64 {
	sum := 0
	for _, g := range looks {
		sum += g.Grade
	}
	return float64(sum) / float64(len(looks))
}

// gather adds a band to the sight of its length, which it makes if need be.
func gather(all []sight, sc scale, b Band) []sight {
	steps := sc.near(b.LengthMM)
	i, found := slices.BinarySearchFunc(all, steps, func(s sight, k int) int { return s.steps - k })
	if !found {
		all = slices.Insert(all, i, sight{steps: steps, mm: sc.at(steps)})
	}
	looks := b.looks()
	all[i].bands++
	all[i].looks = append(all[i].looks, looks...)
	if meanGrade(looks) < sufficientScore {
		all[i].whole++
		if b.Voids {
			all[i].voids++
		}
	}
	return all
}

// chances is the logarithm of the chance of all looks of a sight, by the level of its worst gap.
func (s sight) chances(t *gradeTable, tilt float64) *[levels]float64 {
	var sum [levels]float64
	for _, look := range s.looks {
		part := tilted(1, look.MM, tilt)
		for l := range sum {
			sum[l] += t[levelOf(part*float64(l)*levelScore)][look.Grade]
		}
	}
	return &sum
}
