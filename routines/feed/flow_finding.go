package feed

import (
	"fmt"

	"fettle/routines"
)

// The findings of a flow limit, beside Failed.
const (
	FlowFound   = "found"
	FlowAtLeast = "at_least" // all that was tried went in
	FlowShort   = "short"    // it slips from low flow on: to be mended first
	FlowTooFew  = "too_few"  // too few flows could be tried or read
	FlowTooFast = "too_fast" // it may fall from the slowest flow on, which was no slow one
)

// conclude says what the blocks came to.
func (f *flow) conclude() (routines.Finding, error) {
	if why := f.trouble(); why != "" {
		return routines.Finding{Kind: Failed, Headline: "Look at the printer first", Reason: why, Notes: f.flowNotes()}, nil
	}
	k := f.find()
	if f.early(k) {
		return f.shortFinding(k)
	}
	var out routines.Finding
	switch {
	case k.Is:
		out = f.foundFinding(k)
	case len(f.points()) < leastFlows:
		out = routines.Finding{Kind: FlowTooFew, Headline: "Too few blocks could be read",
			Reason: fmt.Sprintf("A limit shows from %d different flows on.", leastFlows)}
	case k.fromTheStart():
		out = routines.Finding{Kind: FlowTooFast, Headline: "The climb began too fast", Reason: "It may fall short from the slowest flow on, and nothing shows from where.",
			Notes: []string{"Try again with a lower fastest flow, so that the steps are smaller; or with a finer gauge."}}
	default:
		out = f.atLeast(k)
	}
	out.Values = append(out.Values, f.shortValues(k)...)
	out.Notes = append(append(out.Notes, f.evenNotes(k)...), f.flowNotes()...)
	return out, nil
}

// shortValues are the part that is missing at low flow, %: below 0 more went in than was commanded. None where nothing was read.
func (f *flow) shortValues(k found) []routines.Value {
	if len(f.points()) == 0 {
		return nil
	}
	return []routines.Value{{Name: "short_percent", Unit: "%", Value: tidy(100 * k.Short), U95: percentOf(k.ShortU95)}}
}

// foundFinding is a limit: what it is, what to work with, how fast a head may go by it. It is kept.
func (f *flow) foundFinding(k found) routines.Finding {
	half, working, workingU95 := k.half(), tidy(workingShare*k.LimitMM3PerS), tidy(workingShare*k.half())
	width, height := usualLine(f.Setup.NozzleBoreMM)
	top := tidy(TopSpeedMMPerS(working, width, height))
	f.Record(f.limitEntry(k))
	if e, other := f.nozzleEntry(); other {
		f.Record(e)
	}
	out := routines.Finding{Kind: FlowFound, Headline: fmt.Sprintf("Work at up to %s", unitAsSureOf(working, workingU95, "mm³/s")), Reason: f.foundReason(k),
		Values: []routines.Value{
			{Name: kindFlowLimit, Unit: "mm³/s", Value: working, U95: &workingU95},
			{Name: "falls_at_mm3_per_s", Unit: "mm³/s", Value: k.LimitMM3PerS, U95: &half},
			{Name: "from_mm3_per_s", Unit: "mm³/s", Value: k.LowMM3PerS},
			{Name: "to_mm3_per_s", Unit: "mm³/s", Value: k.HighMM3PerS},
		}}
	if top > 0 {
		out.Values = append(out.Values, routines.Value{Name: "top_speed_mm_per_s", Unit: "mm/s", Value: top})
		out.Notes = append(out.Notes, fmt.Sprintf("A line of %s by %s, as suits this nozzle, takes it at %.0f\u00a0mm/s.", number(width), unit(height, "mm"), top))
	}
	out.Notes = append(out.Notes, fmt.Sprintf("It is %s of the limit: into free air nothing pushes back, and on a print something does.", number(workingShare)))
	return out
}

func (f *flow) foundReason(k found) string {
	from, to := asSureAs(k.LowMM3PerS, k.half()), unitAsSureOf(k.HighMM3PerS, k.half(), "mm³/s")
	if k.ByEar {
		return fmt.Sprintf("The drive complained at %s, and the blocks before it went in: the limit lies between %s and that.",
			unit(f.last().FlowMM3PerS, "mm³/s"), from)
	}
	return fmt.Sprintf("What goes in falls by %s at %s; the limit lies between %s and %s.", unit(f.in.TolerancePercent, "%"),
		asSureAs(k.LimitMM3PerS, k.half()), from, to)
}

// atLeast is what is said where nothing fell by the tolerance, or no end of it can be seen.
func (f *flow) atLeast(k found) routines.Finding {
	least := round(k.LowMM3PerS)
	out := routines.Finding{Kind: FlowAtLeast, Headline: fmt.Sprintf("The limit is not below %s", unit(least, "mm³/s")),
		Reason: fmt.Sprintf("Up to %s %s.", unit(f.fastestRead(), "mm³/s"), k.Why),
		Values: []routines.Value{{Name: "at_least_mm3_per_s", Unit: "mm³/s", Value: least}}}
	if len(f.skipped) == 0 {
		out.Notes = []string{"Try again with a higher fastest flow, a longer block or a finer gauge."}
	}
	return out
}

func (f *flow) fastestRead() float64 {
	fastest := 0.0
	for _, b := range f.blocks {
		if _, read := b.part(); read {
			fastest = max(fastest, b.FlowMM3PerS)
		}
	}
	return fastest
}

// shortFinding asks for the gear's marks and names what is to be mended. No value is kept, for it would be that of a fault,
// unless a person saw that nothing is wrong.
func (f *flow) shortFinding(k found) (routines.Finding, error) {
	answer, err := routines.Ask[biteAnswer](f.Run, askBite(f.shown()))
	if err != nil {
		return routines.Finding{}, err
	}
	cause := f.cause(answer.Bite)
	if answer.Bite == biteEven && cause == causeUnknown && k.Is {
		out := f.foundFinding(k)
		out.Values = append(out.Values, f.shortValues(k)...)
		out.Notes = append(append(out.Notes, "It is low, and the gear's marks show no fault. Hotter, or through a wider nozzle, more would go."), f.flowNotes()...)
		return out, nil
	}
	headline, do := f.causeWords(cause)
	f.Record(f.shortEntry(k, cause, answer.Bite))
	out := routines.Finding{Kind: FlowShort, Headline: headline, Reason: "It slips at low flow already, and the more the faster. That is no matter of steps/mm: leave those alone.",
		Values: f.shortValues(k), Notes: append([]string{do}, f.flowNotes()...)}
	if k.Is {
		half := k.half()
		out.Values = append(out.Values, routines.Value{Name: "falls_at_mm3_per_s", Unit: "mm³/s", Value: k.LimitMM3PerS, U95: &half})
	}
	return out, nil
}

func percentOf(part float64) *float64 {
	percent := tidy(100 * part)
	return &percent
}

// tooFew is the finding where the printer's own limit leaves too few flows; nothing was fed.
func (f *flow) tooFew() routines.Finding {
	return routines.Finding{Kind: FlowTooFew, Headline: "The printer's own limit is in the way",
		Reason: fmt.Sprintf("Only %d flows are within it, and a limit shows from %d on.", len(f.tried), leastFlows),
		Notes:  []string{f.skippedWords(), "Try again with a lower fastest flow."}}
}
