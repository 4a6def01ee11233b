package feed

import (
	"fmt"
	"math"

	"fettle/routines"
	"fettle/routines/gauge"
)

// shownWay are the numbers that the figures of the other methods are drawn from.
type shownWay struct {
	shown
	FlagsMM float64   `json:"flags_mm,omitempty"`
	NearMM  float64   `json:"near_mm,omitempty"`
	Length  int       `json:"length,omitempty"` // which of several
	Lengths int       `json:"lengths,omitempty"`
	ReadMM  []float64 `json:"read_mm,omitempty"` // the leftovers read so far
	CutMM   float64   `json:"cut_mm,omitempty"`
	PullMM  float64   `json:"pull_mm,omitempty"`
}

func (c *check) askFlags(name string) routines.Question {
	proposed := c.markMM - nearMM
	return routines.Question{
		Name: name, Figure: "flags",
		Text: fmt.Sprintf("Set two flags of tape %s apart. How far is it exactly?", unit(proposed, "mm")),
		Reason: fmt.Sprintf("The near one about %s above the inlet. Pull the filament straight along the rule: over the two short ways at the inlet a bend does no harm.",
			unit(nearMM+c.in.PreFeedMM, "mm")),
		Warning: []string{"Keep to the inlet, and treat the nozzle as hot until it reads below 50\u00a0°C."},
		Fields: []routines.Field{{Name: "flags_mm", Label: "Near flag to far flag", Kind: routines.Number, Unit: "mm",
			Min: routines.Limit(max(1, c.leastMarkMM-nearMM)), Max: routines.Limit(c.in.RuleMM), Step: c.work.Gauge.ReadingMM(),
			OutOf: "the far flag must stay outside after the feed, and both on the rule"}},
		Shown: shownWay{shown: c.shownPass(0), FlagsMM: proposed, NearMM: nearMM + c.in.PreFeedMM},
	}
}

func (c *check) askNear(name string, flagsMM float64) routines.Question {
	return routines.Question{
		Name: name, Figure: "near_flag",
		Text:    "How far above the inlet is the near flag now? Then take it off.",
		Reason:  "The play of the gear is taken up; what is fed counts from here. A flag that goes in would block the inlet.",
		Warning: []string{"The nozzle is hot and burns skin at once. Keep to the inlet."},
		OneOf:   true,
		Fields: []routines.Field{
			{Name: "near_mm", Label: "Near flag, from the inlet", Kind: routines.Number, Unit: "mm",
				Min: routines.Limit(0), Max: routines.Limit(mostNearMM), Step: c.work.Gauge.ReadingMM(),
				OutOf: fmt.Sprintf("only a short way is straight enough: set both flags anew, the near one about %s above the inlet", unit(nearMM+c.in.PreFeedMM, "mm"))},
			{Name: "instead", Label: "It cannot be read", Kind: routines.Choice, Choices: []routines.Option{
				{Value: setAnew, Label: "Set both flags anew"},
			}},
		},
		Shown: shownWay{shown: c.shownPass(0), FlagsMM: flagsMM, NearMM: nearMM},
	}
}

// setAnew is answered where the near flag has gone in or is too far away.
const setAnew = "set_anew"

// askFar is askLeftover of the far flag.
func (c *check) askFar(p pass) routines.Question {
	q := c.askLeftover(p.Number, p.MarkMM)
	q.Name, q.Figure = fmt.Sprintf("far flag %d", p.Number), "far_flag"
	q.Text = "How far above the inlet is the far flag now?"
	q.Reason = fmt.Sprintf("The flags were %s apart and the near one %s above it; the rest went in.", unit(p.FlagsMM, "mm"), unit(p.MarkMM-p.FlagsMM, "mm"))
	q.Fields[0].Label = "Far flag, from the inlet"
	q.Fields[1].Choices[0].Label = "The far flag is at the inlet or in it"
	q.Derived.U95 = round(c.one(p.FlagsMM).Budget().U95)
	q.Shown = shownWay{shown: c.shownPass(p.MarkMM), FlagsMM: p.FlagsMM}
	return q
}

// askBlock is askLeftover after one of several lengths.
func (c *check) askBlock(name string, i int, fedMM float64, p pass) routines.Question {
	q := c.askLeftover(p.Number, p.MarkMM)
	q.Name, q.Figure = name, "lengths"
	q.Text = fmt.Sprintf("%s are fed. How far above the inlet is the mark?", unit(fedMM, "mm"))
	q.Reason = "Lay the filament straight each time: a line through all the readings parts the scale from how the mark was set."
	q.Derived.U95 = round(gauge.Work{Gauge: c.work.Gauge, MarkMM: p.MarkMM, Passes: 1}.Budget().U95) // of this reading, not of the line
	q.Derived.Unlikely = [2]float64{round(0.85*fedMM - penSpareMM), round(1.15*fedMM + penSpareMM)}
	read := make([]float64, len(p.Blocks))
	for k, b := range p.Blocks {
		read[k] = b.LeftoverMM
	}
	q.Shown = shownWay{shown: c.shownPass(p.MarkMM), Length: i, Lengths: int(c.in.Lengths), ReadMM: read}
	return q
}

// penSpareMM is how far off a mark may be set before a reading behind a short length looks unlikely.
const penSpareMM = 2

func (c *check) shownPass(markMM float64) shown {
	return shown{CommandedMM: c.in.CommandedMM, MarkMM: markMM, PreFeedMM: c.in.PreFeedMM, RuleMM: c.in.RuleMM, Gauge: c.work.Gauge.Name}
}

// askStillOpen stands before the later passes of a cold check, which may be taken over long after the path was closed.
func (c *check) askStillOpen(n int) routines.Question {
	q := c.askPath()
	q.Name, q.Text = fmt.Sprintf("path %d", n), "Is the path below the gear still open?"
	return q
}

// askPath stands before a cold feed: into a closed path the gear grinds the filament instead of feeding it.
func (c *check) askPath() routines.Question {
	yes := true
	return routines.Question{
		Name: "path", Figure: "path",
		Text:   "Is the path below the gear open?",
		Reason: fmt.Sprintf("About %s of cold filament will come out there; into a closed path the gear strips it.", unit(math.Ceil(c.in.CommandedMM+c.in.PreFeedMM), "mm")),
		Warning: []string{
			"The firmware's block of cold feeding is lifted right before each feed and set again behind it.",
			"Treat the nozzle as hot until it reads below 50\u00a0°C."},
		Fields: []routines.Field{{Name: "path_open", Label: "The path is open", Kind: routines.Yes, Must: &yes}},
		Shown:  shown{CommandedMM: c.in.CommandedMM, PreFeedMM: c.in.PreFeedMM},
	}
}
