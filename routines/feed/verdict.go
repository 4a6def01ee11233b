package feed

import (
	"fmt"
	"math"
	"slices"

	"fettle/routines/gauge"
)

// The findings of a feed check.
const (
	Leave      = "leave"
	Change     = "change"
	CannotTell = "cannot_tell"
	Ratio      = "ratio"    // to be changed, but the printer does not tell what it has
	NotHeld    = "not_held" // changed, and a pass with the new value did not bear it out
	Failed     = "failed"   // what was seen is no matter of steps/mm
)

// tolerancePercent is the feed error from which on later work suffers. Common practice, no source.
const tolerancePercent = 1

// largePercent is the change of steps/mm from which on one pass is not believed.
const largePercent = 20

// mostPasses ends a check that will not decide: what is common to all passes never shrinks.
const mostPasses = 9

// markSpareMM is how far beyond the filament that is sure to go in a mark must be to make sense.
const markSpareMM = 5

// verdict is what the passes so far come to.
type verdict struct {
	Kind       string
	FedMM      float64 // mean
	Percent    float64 // d: how far the mean is from what was commanded
	U95Percent float64 // of what was commanded
	Work       gauge.Work
	Budget     gauge.Budget // in mm
	ApartMM    float64      // how far the highest pass lies from the lowest, where reading does not explain it; else 0
	Unagreed   bool         // so large a change that a second pass must agree
	Bounded    bool         // every mark went in: FedMM is a lower bound
	Curved     bool         // readings against one mark bend away from their line
	Enough     enough       // what further passes would do
	trouble    string
}

// decide weighs the passes. Leaving wins where both could be said. byParts says whether the parts of the drive bear a
// result out: then a large change is believed of one pass. first is how many passes were looked at first.
func decide(commandedMM float64, w gauge.Work, passes []pass, first int, byParts func(fedMM float64) bool) verdict {
	if why := trouble(commandedMM, passes); why != "" {
		return verdict{Kind: Failed, trouble: why}
	}
	feds := lengths(passes)
	v := verdict{Kind: CannotTell}
	if len(feds) == 0 {
		return v
	}
	v.Work, v.FedMM = workOf(w, passes)
	v.Budget = v.Work.Budget()
	v.FedMM, v.Budget.U95 = tidy(v.FedMM), tidy(v.Budget.U95)
	v.ApartMM = disagreement(v.Work, feds)
	v.Percent = tidy(100 * (v.FedMM/commandedMM - 1))
	v.U95Percent = tidy(100 * v.Budget.U95 / commandedMM)
	v.Kind = weigh(v.Percent, v.U95Percent, again(v.Work, first))
	if v.Kind == Change && math.Abs(commandedMM/v.FedMM-1)*100 > largePercent && !agree(v.Work, feds) && !byParts(v.FedMM) {
		v.Kind, v.Unagreed = CannotTell, true
	}
	if v.Curved = slices.ContainsFunc(passes, bends); v.Curved && v.Kind == Change {
		v.Kind = CannotTell
	}
	return v
}

// again is how many times its uncertainty a result must be off to be changed: once at the first look. Who does passes until
// something is told has more than one chance to be misled.
func again(w gauge.Work, first int) float64 {
	if w.Passes <= first {
		return 1
	}
	return w.AgainFactor()
}

// leaveShare is the part of what again asks beyond once that a printer must keep clear of the tolerance to be left. Of one that
// is just as far off as matters the mean of some number of passes comes near enough sooner or later: with a rule of 1 mm one of
// ten was left. With a quarter of it about one of eighteen is, by simulation of our own (chain_test.go); with all of it one of
// fifty, and a perfect printer is hardly ever told from it.
const leaveShare = 0.25

// weigh is the decision in three: leave it, change it, cannot tell. factor is what again asks.
func weigh(percent, u95Percent, factor float64) string {
	d := math.Abs(percent)
	switch {
	case d+(1+leaveShare*(factor-1))*u95Percent <= tolerancePercent:
		return Leave
	case d > factor*u95Percent:
		return Change
	}
	return CannotTell
}

// agree reports whether any two results lie within what one of them may be off.
func agree(w gauge.Work, feds []float64) bool {
	w.Passes = 1
	u95 := w.Budget().U95
	for i, a := range feds {
		for _, b := range feds[i+1:] {
			if math.Abs(a-b) <= u95 {
				return true
			}
		}
	}
	return false
}

// disagreement is how far the highest result lies from the lowest, mm, where that is more than reading and marking make
// likely; else 0.
func disagreement(w gauge.Work, feds []float64) float64 {
	if apart := tidy(slices.Max(feds) - slices.Min(feds)); apart > w.SpreadMM() {
		return apart
	}
	return 0
}

// lengths are the results of the passes that have one.
func lengths(passes []pass) (feds []float64) {
	for _, p := range measured(passes) {
		fed, _ := p.fedMM()
		feds = append(feds, fed)
	}
	return feds
}

// workOf is the work of the passes that have a result, with the longest length of any and what their lines scatter
// together, and the mean of the results.
func workOf(w gauge.Work, passes []pass) (gauge.Work, float64) {
	var ratios []float64
	for _, p := range measured(passes) {
		w.MarkMM = max(w.MarkMM, p.longestMM())
		if p.Line != nil {
			ratios = append(ratios, p.Line.Ratio)
		}
	}
	w.Line = w.Line.Ravel(w.Gauge, ratios)
	return w.Of(lengths(passes))
}

// boundedBy is the verdict where the mark of p went in and no longer mark fits the rule.
func boundedBy(p pass) verdict {
	return verdict{Kind: CannotTell, Bounded: true, FedMM: p.MarkMM}
}

// trouble names what is no matter of steps/mm, or "".
func trouble(commandedMM float64, passes []pass) string {
	for _, p := range passes {
		fed, read := p.fedMM()
		switch {
		case p.Done.Prevented:
			return "The printer refused to feed: by its own reading the nozzle is too cold."
		case p.Instead == cameOut:
			return "Filament came out of the inlet instead of going in. Does the motor turn backwards?"
		case read && fed < commandedMM/20:
			return fmt.Sprintf("Only %s of %s went in. Does the gear turn, and does it hold the filament?",
				unit(fed, "mm"), unit(commandedMM, "mm"))
		}
	}
	return ""
}
