package feed

import (
	"fmt"
	"math"

	"fettle/routines/gauge"
)

// outlook says what would settle a verdict that cannot tell, as far as the budget can foresee it: the same mean with
// more passes, with a finer gauge, or over a longer feed, the passes scattering as they did. Where they disagree their mean
// says nothing, and nothing is foreseen.
func (c *check) outlook(v verdict) string {
	if v.Bounded {
		return "Measure again with less commanded, or with a longer rule."
	}
	if v.Curved {
		return "Feed more slowly, lay the filament straight, and measure again: more of the same would not decide."
	}
	if v.ApartMM > 0 {
		return v.disagreeWords()
	}
	if v.Unagreed {
		return "A change of over 20 % needs a second pass that agrees."
	}
	if n := passesToDecide(v.Percent, v.Work, c.in.CommandedMM, int(c.in.Passes)); n > 0 {
		return fmt.Sprintf("By the budget %s in all would decide.", count(n))
	}
	for _, g := range c.work.Gauge.Finer() {
		if n := passesToDecide(v.Percent, afresh(v.Work.With(g)), c.in.CommandedMM, mostPasses); n > 0 {
			return fmt.Sprintf("More passes alone would not decide; %s with a %s would.", count(n), g.Label)
		}
	}
	if longer := c.longerToDecide(v); longer > 0 {
		return fmt.Sprintf("More passes alone would not decide; a feed of %s would.", unit(longer, "mm"))
	}
	return "Neither more passes nor a finer gauge would decide: it lies too near the tolerance."
}

func (v verdict) disagreeWords() string {
	return fmt.Sprintf("The passes disagree by %s: one was misread or slipped.", unit(v.ApartMM, "mm"))
}

// afresh is a check begun anew: no passes yet, and one taken as done where they scatter beyond reading, since only from the
// second on does a check see that.
func afresh(w gauge.Work) gauge.Work {
	w.Passes = 0
	if w.ExcessMM() > 0 {
		w.Passes = 1
	}
	return w
}

// passesToDecide is the smallest number of passes, more than w has, after which percent could be told, or 0. first is how
// many are done before the first look.
func passesToDecide(percent float64, w gauge.Work, commandedMM float64, first int) int {
	for n := w.Passes + 1; n <= mostPasses; n++ {
		w.Passes = n
		if weigh(percent, 100*w.Budget().U95/commandedMM, again(w, first)) != CannotTell {
			return n
		}
	}
	return 0
}

// longerToDecide is the length, in steps of 50 mm up to what the rule allows, over which the same error could be told
// with as many passes, or 0.
func (c *check) longerToDecide(v verdict) float64 {
	longest, _ := c.method.longest(c.in)
	for mm := 50 * (math.Floor(c.in.CommandedMM/50) + 1); mm <= longest; mm += 50 {
		w := v.Work
		w.MarkMM = c.method.markMM(mm)
		if weigh(v.Percent, 100*w.Budget().U95/mm, 1) != CannotTell {
			return mm
		}
	}
	return 0
}
