package feed

import (
	"fmt"

	"fettle/routines"
	"fettle/routines/gauge"
)

// finding is what a check ends with that changes nothing in the printer.
func (c *check) finding(v verdict) routines.Finding {
	f := routines.Finding{Kind: v.Kind, Values: c.values(v), Budget: rows(v.Budget), Notes: c.notes(v)}
	switch v.Kind {
	case Failed:
		f.Headline, f.Reason = "Look at the printer first", v.trouble
	case Leave:
		f.Headline, f.Reason = "Leave it", c.leaveReason(v)
		if c.oldSteps != nil {
			f.Headline = "Leave it at " + steps(*c.oldSteps)
		}
	case Change:
		ratio := c.in.CommandedMM / v.FedMM
		f.Kind, f.Headline = Ratio, fmt.Sprintf("Multiply steps/mm by %.4f", ratio)
		f.Reason = "The printer does not tell its steps/mm. " + c.changeReason(v)
		f.Notes = append(f.Notes, fmt.Sprintf("Find the value at the printer or in its settings, and set it to %.4f times what it is; "+
			"or let the slicing program multiply its flow by %.4f.", ratio, ratio))
	default:
		f.Headline, f.Reason = "Cannot tell yet", c.cannotTellReason(v)
		f.Notes = append(f.Notes, c.outlook(v))
	}
	return f
}

// changeFinding is what a check ends with whose new value was offered.
func (c *check) changeFinding(v verdict, next, u95 float64, w routines.Written) routines.Finding {
	budget := v.Budget.Times(next/v.FedMM, "steps/mm")
	f := routines.Finding{Kind: Change, Headline: "Change it to " + steps(next), Reason: c.changeReason(v),
		Values: append(c.values(v), routines.Value{Name: "steps_per_mm", Unit: "steps/mm", Value: next, U95: &u95}),
		Budget: rows(budget), Notes: append(c.notes(v), standingNote(w))}
	if w.Standing == routines.NotWritten || w.Standing == routines.NotStored {
		f.Notes = append(f.Notes, doInstead(w, *c.oldSteps, next))
	}
	return f
}

func (c *check) values(v verdict) []routines.Value {
	var out []routines.Value
	switch {
	case v.Bounded:
		out = append(out, routines.Value{Name: "fed_at_least_mm", Unit: "mm", Value: v.FedMM})
	case v.Work.Passes > 0:
		fedU95 := v.Budget.U95
		out = append(out, routines.Value{Name: "fed_mm", Unit: "mm", Value: v.FedMM, U95: &fedU95})
		out = append(out, routines.Value{Name: "error_percent", Unit: "%", Value: v.Percent, U95: &v.U95Percent})
		out = append(out, routines.Value{Name: "coverage_factor", Unit: "1", Value: tidy(v.Budget.K)})
	}
	out = append(out, c.offsets()...)
	if c.oldSteps != nil {
		out = append(out, routines.Value{Name: "measured_with_steps_per_mm", Unit: "steps/mm", Value: *c.oldSteps})
	}
	if g := c.Setup.Gear; g != nil && g.EffectiveDiameterMM > 0 {
		out = append(out, routines.Value{Name: "expected_steps_per_mm", Unit: "steps/mm", Value: writable(ExpectedStepsPerMM(*g))})
	}
	return out
}

// offsets are how far the marks of several lengths were set off, mm: kept apart from the scale. More of a mark's side that
// reads short went in than was fed.
func (c *check) offsets() []routines.Value {
	var out []routines.Value
	for _, p := range c.passes {
		if p.Line != nil {
			u95 := tidy(gauge.CoverageFactor * p.Line.OffsetU)
			out = append(out, routines.Value{Name: fmt.Sprintf("marking_offset_%d_mm", p.Number), Unit: "mm", Value: p.Line.OffsetMM, U95: &u95})
		}
	}
	return out
}

func (c *check) leaveReason(v verdict) string {
	return fmt.Sprintf("%s: within %d %%, even with all that the measurement may be off.", c.fedWords(v), tolerancePercent)
}

func (c *check) changeReason(v verdict) string {
	return fmt.Sprintf("%s: further off than the measurement is likely to be.", c.fedWords(v))
}

func (c *check) cannotTellReason(v verdict) string {
	switch {
	case v.Curved:
		return fmt.Sprintf("%s, but the readings bend away from a line: slip or curl, and no matter of steps/mm.", c.fedWords(v))
	case v.Bounded:
		return fmt.Sprintf("More than %s of %s went in, and no longer mark fits the rule.", unit(v.FedMM, "mm"), unit(c.in.CommandedMM, "mm"))
	case v.Unagreed && v.Work.Passes > 1:
		return fmt.Sprintf("%s: a change of over %d %% is believed only of two passes that agree.", c.fedWords(v), largePercent)
	case v.Unagreed:
		return fmt.Sprintf("%s: a change of over %d %% is not believed of one pass.", c.fedWords(v), largePercent)
	}
	return fmt.Sprintf("%s: too near to leave or change it by.", c.fedWords(v))
}

func (c *check) fedWords(v verdict) string {
	return fmt.Sprintf("%s %s of %s went in", asSureAs(v.FedMM, v.Budget.U95), plusMinus(v.Budget.U95, "mm"), unit(c.in.CommandedMM, "mm"))
}
