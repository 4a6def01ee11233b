package feed

import (
	"fmt"
	"math"
	"slices"

	"fettle/routines"
	"fettle/routines/gauge"
)

// notes are what a person should know beside the number.
func (c *check) notes(v verdict) []string {
	out := c.doubts(v)
	if v.Budget.K > gauge.CoverageFactor {
		out = append(out, fmt.Sprintf("The passes scatter beyond reading and are few, so ± is %.2f times the standard uncertainty, not twice.", v.Budget.K))
	}
	if note := v.Enough.note(v); note != "" {
		out = append(out, note+" "+v.Enough.largestNote())
	}
	if note := c.gaugeNote(v); note != "" {
		out = append(out, note)
	}
	if b, worth := c.betterMethod(v); worth {
		out = append(out, b.note())
	}
	if c.opened {
		out = append(out, "Put the tube back into its coupler up to the stop, and clip it, before anything heats.")
	}
	if c.method.name == coldInlet {
		out = append(out, "Put together again what was opened below the gear, before anything heats.")
	}
	for _, p := range c.passes {
		for _, said := range p.Done.Remarks {
			if note := fmt.Sprintf("The printer said: %q.", said); !slices.Contains(out, note) {
				out = append(out, note)
			}
		}
	}
	return out
}

// doubts are what speaks against a value, and so must be known before it is written.
func (c *check) doubts(v verdict) []string {
	var out []string
	for _, p := range c.passes {
		if p.Strand == popping {
			out = append(out, "The strand was popping or matt: damp filament. Dry it before the steps that follow.")
			break
		}
	}
	for _, p := range c.passes {
		if p.Instead == markWentIn && v.Work.Passes > 0 && p.MarkMM > v.FedMM+v.Budget.U95 {
			out = append(out, fmt.Sprintf("In pass %d the mark at %s went in, which the other passes do not bear out.", p.Number, unit(p.MarkMM, "mm")))
		}
	}
	if v.ApartMM > 0 && v.Kind != CannotTell { // else the outlook says so
		out = append(out, v.disagreeWords())
	}
	out = append(out, c.lineNotes()...)
	if v.Work.Passes > 0 {
		out = append(out, c.ratioNotes(v)...)
	}
	return out
}

func (c *check) ratioNotes(v verdict) []string {
	var out []string
	if why := nameRatio(v.FedMM/c.in.CommandedMM, c.Setup); why != "" {
		out = append(out, why+" Look at the setting before you rely on a value.")
	}
	if next, _, ok := c.newSteps(v); ok && c.Setup.Gear != nil && c.Setup.Gear.EffectiveDiameterMM > 0 {
		out = append(out, partsNote(next, *c.Setup.Gear)...)
	}
	if v.Kind == Change && v.Percent < 0 {
		out = append(out, "Slip looks the same: a shortfall that grows with speed is a weak grip, a cold or a blocked nozzle, not steps/mm.")
	}
	if v.Kind == Change && c.Material.Flexible {
		out = append(out, "Soft filament bends the gear's grip: give it a flow factor of its own rather than steps/mm that hold for all.")
	}
	return out
}

// byPartsWithin is how near a value is to what the parts give to be borne out by them: the effective diameter of a gear is
// not known better. Common practice, no source.
const byPartsWithin = 0.1

// byParts reports whether the gear data of the setup bear a fed length out.
func (c *check) byParts(fedMM float64) bool {
	g := c.Setup.Gear
	if g == nil || c.oldSteps == nil || g.EffectiveDiameterMM <= 0 {
		return false
	}
	return math.Abs(NewStepsPerMM(*c.oldSteps, c.in.CommandedMM, fedMM)/ExpectedStepsPerMM(*g)-1) <= byPartsWithin
}

// partsNote says that a value is not what the parts give, and what setting is usually behind it.
func partsNote(next float64, g routines.Gear) []string {
	expected := ExpectedStepsPerMM(g)
	if math.Abs(next/expected-1) <= byPartsWithin {
		return nil
	}
	out := []string{fmt.Sprintf("The gear data of the setup give %s steps/mm: one of the two is wrong.", steps(expected))}
	if factor, what, near := gauge.NearFactor(next, expected, g.Ratio); near {
		out[0] += fmt.Sprintf(" The measured value is about %.3g of it (%s): a setting rather than a calibration.", factor, what)
	}
	return out
}

// lineNotes name what several lengths against one mark show beside the scale: nothing of it is dropped.
func (c *check) lineNotes() []string {
	var out []string
	for _, p := range c.passes {
		if p.Line == nil {
			continue
		}
		if p.Line.Curved {
			out = append(out, fmt.Sprintf("The readings of pass %d bend away from a line: that is slip or curl, not scale.", p.Number))
		}
		for _, at := range p.Line.Strays {
			out = append(out, fmt.Sprintf("The reading at %s of pass %d lies off the line of the others. It was kept: was it misread?", unit(at, "mm"), p.Number))
		}
	}
	return out
}

// standingNote says in words how the new value stands in the printer.
func standingNote(w routines.Written) string {
	because := ""
	if w.Why != "" {
		because = ": " + w.Why
	}
	switch w.Standing {
	case routines.Verified:
		return "Written, stored and read back."
	case routines.WrittenNotVerified:
		return "Written, but not proved to be stored" + because + "."
	case routines.NotStored:
		return "In use until the printer restarts, and not stored" + because + "."
	}
	return "Not written" + because + "."
}

// doInstead is what a person can do with a value that the printer did not take or keep, or "".
func doInstead(w routines.Written, old, next float64) string {
	switch w.Standing {
	case routines.NotStored:
		return fmt.Sprintf("Put M92 E%s at the start of what the slicing program writes, or set it again after each restart.", steps(next))
	case routines.NotWritten:
		return fmt.Sprintf("To use it all the same, set %s at the printer itself, or let the slicing program multiply its flow by %.4f; never both.",
			steps(next), next/old)
	}
	return ""
}
