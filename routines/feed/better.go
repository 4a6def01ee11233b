package feed

import (
	"fmt"

	"fettle/routines/gauge"
)

// better is another method that one pass of would be surer with, and how sure.
type better struct {
	Method     string  `json:"method"`
	Label      string  `json:"label"`
	U95Percent float64 `json:"u95_percent"`
}

// worthwhile is how much smaller ± must be for another method to be worth its trouble. Common practice, no source.
const worthwhile = 0.8

// betterMethod is the method that would come nearest with one pass of the same gauge and length, where that is worth it:
// where the target is missed or nothing can be told, and ± is clearly smaller than now.
func (c *check) betterMethod(v verdict) (better, bool) {
	if v.Work.Passes == 0 || v.ApartMM > 0 || (v.Enough.Reached && v.Kind != CannotTell) {
		return better{}, false
	}
	best := better{U95Percent: worthwhile * v.U95Percent}
	found := false
	for _, m := range methods() {
		in := c.in
		in.Method = m.name
		if m.way == c.method.way || checkMethod(in, c.Setup) != nil || checkLength(in) != nil {
			continue
		}
		if u := tidy(100 * c.onceBy(m).Budget().U95 / in.CommandedMM); u <= best.U95Percent {
			best, found = better{Method: m.name, Label: m.label, U95Percent: u}, true
		}
	}
	return best, found
}

// onceBy is the work of one pass of another method.
func (c *check) onceBy(m method) gauge.Work {
	return gauge.Work{Gauge: c.work.Gauge, Way: m.way, MarkMM: m.markMM(c.in.CommandedMM), Passes: 1, Line: gauge.Stretch{Blocks: int(c.in.Lengths)}}
}

// gaugeNote says that the gauge makes up most of ±, and what a finer one would come to, where the target is missed; else "".
// What would settle a finding that cannot tell the outlook says.
func (c *check) gaugeNote(v verdict) string {
	if v.Work.Passes == 0 || v.ApartMM > 0 || v.Enough.Reached || v.Kind == CannotTell || v.Work.GaugeShare() < 0.5 {
		return ""
	}
	best, name := worthwhile*v.U95Percent, ""
	for _, g := range c.work.Gauge.Finer() {
		if v.Work.MarkMM > g.LongestMM || best <= v.Enough.TargetPercent {
			continue
		}
		if u := tidy(100 * v.Work.With(g).Budget().U95 / c.in.CommandedMM); u <= best {
			best, name = u, g.Label
		}
	}
	if name == "" {
		return ""
	}
	return fmt.Sprintf("Most of ± is your gauge (%s): with a %s it would come to %s.", c.work.Gauge.Label, name, plusMinus(best, "%"))
}

func (b better) note() string {
	return fmt.Sprintf("%s would be worth it: one pass comes to %s (method %s).", b.Label, plusMinus(b.U95Percent, "%"), b.Method)
}
