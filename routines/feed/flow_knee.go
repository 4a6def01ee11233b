package feed

import (
	"math"

	"fettle/routines/gauge"
)

// found is what the blocks came to, in flows.
type found struct {
	LimitMM3PerS float64
	LowMM3PerS   float64 // an interval of about 95 %; where nothing was found the limit is at least this
	HighMM3PerS  float64 // 0: no upper end
	Is           bool    // the limit lies within the flows that were fed
	ByEar        bool    // between a quiet block and one that the drive complained about
	Short        float64 // part that is missing at low flow
	ShortU95     float64
	Grows        bool
	Why          string // what stands in the way of a limit
}

// half is the larger half of the interval, mm³/s: of a limit that lies unevenly within it the wider side counts.
func (f found) half() float64 {
	return tidy(math.Max(f.HighMM3PerS-f.LimitMM3PerS, f.LimitMM3PerS-f.LowMM3PerS))
}

// fromTheStart reports whether it may fall from the slowest flows on, so that no limit can be told.
func (f found) fromTheStart() bool { return f.Grows && f.LowMM3PerS == 0 }

// short reports whether more is missing at low flow than the blocks may be off by, and than later work bears.
func (f found) short() bool { return f.Short > f.ShortU95 && 100*f.Short >= tolerancePercent }

// find looks for the limit in what was read.
func (f *flow) find() found {
	k := gauge.KneeOf(f.points(), f.in.TolerancePercent/100)
	common := gauge.CoverageFactor * scaleU(f.gauge, f.in.RuleMM)
	out := found{LimitMM3PerS: tidy(k.LimitMMPerS * f.areaMM2), LowMM3PerS: tidy(k.LowMMPerS * f.areaMM2), HighMM3PerS: tidy(k.HighMMPerS * f.areaMM2),
		Is: k.Found, Short: tidy(k.LowSpeedShort), ShortU95: tidy(gauge.Combine(k.LowSpeedU95, common)), Grows: k.Grows, Why: k.Why}
	if k.LowSpeedU95 == 0 {
		out.Short, out.ShortU95 = f.slowestShort()
	}
	if f.last().complained() {
		return f.byEar(out)
	}
	if out.Is && k.Open {
		out.Is, out.Why = false, "what is fed falls, but where the limit ends is beyond the flows that were fed"
	}
	return out
}

// slowestShort is the part that is missing of the slowest block, and its expanded uncertainty.
func (f *flow) slowestShort() (short, u95 float64) {
	slowest := math.Inf(1)
	for _, b := range f.blocks {
		if part, read := b.part(); read && b.FlowMM3PerS < slowest {
			slowest, short = b.FlowMM3PerS, tidy(1-part)
		}
	}
	return short, tidy(gauge.CoverageFactor * gauge.Combine(blockSD(f.gauge, f.in.BlockMM), scaleU(f.gauge, f.in.RuleMM)))
}

// points are the blocks that were read, as the search for a knee takes them.
func (f *flow) points() []gauge.Fed {
	var out []gauge.Fed
	for _, b := range f.blocks {
		if part, read := b.part(); read {
			out = append(out, gauge.Fed{SpeedMMPerS: b.SpeedMMPerS, Fraction: part, SD: blockSD(f.gauge, b.Done.CommandedMM)})
		}
	}
	return out
}

// byEar bounds a limit from above by the block that the drive complained about. Where the lengths do not show it, it
// lies between that block and what they leave possible, and the middle is taken.
func (f *flow) byEar(k found) found {
	loud := f.last().FlowMM3PerS
	if k.HighMM3PerS == 0 || k.HighMM3PerS > loud {
		k.HighMM3PerS = loud
	}
	if k.Is && k.LimitMM3PerS < loud {
		return k
	}
	k.Is = false
	if k.LowMM3PerS > 0 && k.LowMM3PerS < loud {
		k.Is, k.ByEar = true, true
		k.LimitMM3PerS = tidy((k.LowMM3PerS + loud) / 2)
	}
	return k
}
