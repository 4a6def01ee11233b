package feed

import (
	"fmt"
	"math"
	"strings"

	"fettle/routines/gauge"
)

// enough is what further passes would do, by the budget.
type enough struct {
	TargetPercent float64 // U95 that is aimed for
	Reached       bool
	ToTarget      int       // passes in all that would reach it; 0: it is reached, or no number of them would
	FloorPercent  float64   // U95 that no number of passes gets below
	Changes       float64   // in how many cases of 100 one more pass would change the finding
	Largest       gauge.Row // of the budget
}

// hardly is in how many cases of 100 at most a pass would change the finding, to say that it hardly would.
const hardly = 5

// enoughOf looks ahead from a verdict. Where passes disagree, or nothing was read, nothing is foreseen.
func enoughOf(v verdict, commandedMM, targetPercent float64) enough {
	if v.Work.Passes == 0 || v.ApartMM > 0 {
		return enough{}
	}
	e := enough{TargetPercent: targetPercent, Reached: v.U95Percent <= targetPercent, Largest: v.Budget.Largest(),
		FloorPercent: tidy(100 * v.Work.FloorU95() / commandedMM), Changes: changes(v, commandedMM)}
	if !e.Reached {
		e.ToTarget = passesToTarget(v.Work, commandedMM, targetPercent)
	}
	return e
}

// passesToTarget is the smallest number of passes, more than w has, with which the expanded uncertainty would be the
// target at most, or 0.
func passesToTarget(w gauge.Work, commandedMM, targetPercent float64) int {
	for n := w.Passes + 1; n <= mostPasses; n++ {
		w.Passes = n
		if 100*w.Budget().U95/commandedMM <= targetPercent {
			return n
		}
	}
	return 0
}

// changes is in how many cases of 100 one more pass would change the finding: it moves the mean, and lessens what the mean
// may be off.
func changes(v verdict, commandedMM float64) float64 {
	next := v.Work
	next.Passes++
	u95Percent := 100 * next.Budget().U95 / commandedMM
	shifts := v.Work.Shifts(100)
	changed := 0
	for _, shift := range shifts {
		if weigh(v.Percent+100*shift/commandedMM, u95Percent, next.AgainFactor()) != v.Kind {
			changed++
		}
	}
	return 100 * float64(changed) / float64(len(shifts))
}

// note says in words whether the target is reached, what would reach it, and whether a pass more would change
// anything; "" where nothing is foreseen.
func (e enough) note(v verdict) string {
	if e.TargetPercent == 0 {
		return ""
	}
	if v.Kind == CannotTell {
		return e.undecided()
	}
	u95, target := plusMinus(v.U95Percent, "%"), unit(e.TargetPercent, "%")
	var says string
	switch {
	case e.Reached:
		says = fmt.Sprintf("%s meets the target of %s.", u95, target)
	case e.ToTarget > 0:
		says = fmt.Sprintf("%s misses the target of %s: by the budget %s in all would meet it.", u95, target, count(e.ToTarget))
	default:
		says = fmt.Sprintf("%s misses the target of %s, and more passes stop helping at %s: that is common to all of them.",
			u95, target, plusMinus(e.FloorPercent, "%"))
	}
	if e.Changes <= hardly {
		return says + " Another pass would hardly change the finding."
	}
	return says + fmt.Sprintf(" Another pass would change the finding in about %.0f of 100 cases.", math.Round(e.Changes))
}

// undecided is the note of a finding that cannot tell, whose outlook says what would: only how far passes lead.
func (e enough) undecided() string {
	if e.ToTarget > 0 {
		return fmt.Sprintf("By the budget %s in all would meet the target of %s.", count(e.ToTarget), unit(e.TargetPercent, "%"))
	}
	return fmt.Sprintf("More passes stop helping at %s.", plusMinus(e.FloorPercent, "%"))
}

// largestNote names the largest part of the budget, and whether repeats lessen it.
func (e enough) largestNote() string {
	switch {
	case e.Largest.Name == "":
		return "Nothing adds to ±."
	case e.Largest.Common:
		return fmt.Sprintf("The largest part of ± is %s, the same in every pass.", plainly(e.Largest.Name))
	}
	return fmt.Sprintf("The largest part of ± is %s; more passes lessen it.", plainly(e.Largest.Name))
}

// plainly is the name of a budget's row as part of a sentence.
func plainly(row string) string {
	if what, isReading := strings.CutSuffix(row, ", reading"); isReading {
		return "reading the " + what
	}
	return "the " + row
}
