package feed

import (
	"fmt"
	"math"

	"fettle/routines"
	"fettle/routines/gauge"
)

// shownFlow are the numbers that the figures of a climb are drawn from. The first ones are named as in a feed check.
type shownFlow struct {
	CommandedMM      float64    `json:"commanded_mm"`
	MarkMM           float64    `json:"mark_mm,omitempty"`
	AirMM            float64    `json:"air_mm,omitempty"`
	RuleMM           float64    `json:"rule_mm,omitempty"`
	VolumeMM3        float64    `json:"volume_mm3,omitempty"`
	Gauge            string     `json:"gauge,omitempty"`
	Block            int        `json:"block,omitempty"`
	FlowMM3PerS      float64    `json:"flow_mm3_per_s,omitempty"`
	NozzleC          float64    `json:"nozzle_c,omitempty"` // read at the end of the last feed; absent where never read
	TargetC          float64    `json:"target_c"`
	TolerancePercent float64    `json:"tolerance_percent"`
	Flows            []float64  `json:"flows_mm3_per_s"`
	Skipped          []float64  `json:"skipped_mm3_per_s,omitempty"`
	Read             []readFlow `json:"read"`
}

// readFlow is a block as a curve shows it.
type readFlow struct {
	FlowMM3PerS float64 `json:"flow_mm3_per_s"`
	Percent     float64 `json:"fed_percent"`
	U95Percent  float64 `json:"u95_percent"`
	NozzleC     float64 `json:"nozzle_c,omitempty"`
	Instead     string  `json:"instead,omitempty"`
}

func (f *flow) shown() shownFlow {
	s := shownFlow{CommandedMM: f.in.BlockMM, RuleMM: f.in.RuleMM, Gauge: f.gauge.Name, TargetC: f.nozzleC,
		TolerancePercent: f.in.TolerancePercent, Flows: f.tried, Skipped: f.skipped, Read: []readFlow{}}
	for _, b := range f.blocks {
		if part, read := b.part(); read {
			s.Read = append(s.Read, readFlow{FlowMM3PerS: b.FlowMM3PerS, Percent: round(100 * part),
				U95Percent: round(100 * gauge.CoverageFactor * blockSD(f.gauge, b.Done.CommandedMM)), NozzleC: b.Done.NozzleC, Instead: b.Instead})
		}
	}
	return s
}

func (f *flow) shownBlock(b block) shownFlow {
	s := f.shown()
	s.MarkMM, s.Block, s.FlowMM3PerS, s.NozzleC = b.BeforeMM, b.Number, b.FlowMM3PerS, b.Done.NozzleC
	return s
}

func (f *flow) askFlowAir() routines.Question {
	volume := math.Round((float64(len(f.tried)+2)*f.in.BlockMM + 3*takeUpMM) * f.areaMM2)
	reason := fmt.Sprintf("Up to about %s of plastic will come out, faster and faster.", unit(volume, "mm³"))
	if why := f.skippedWords(); why != "" {
		reason += " " + why
	}
	s := f.shown()
	s.AirMM, s.VolumeMM3 = airMM, volume
	return routines.Question{
		Name: "air", Figure: "air",
		Text:    fmt.Sprintf("Is there %s of air under the nozzle, and a cup?", unit(airMM, "mm")),
		Reason:  reason,
		Warning: []string{"Hot plastic gives off fine dust and vapour. Open a window, and read the maker's data sheet of the material."},
		Fields:  []routines.Field{airField(f.Setup)},
		Shown:   s,
	}
}

// askFlowMark proposes a distance in what is shown, and has no default: only what a person says was set was set. It
// follows a slow feed, whose temperature it shows.
func (f *flow) askFlowMark(name string, toCome int, takeUp routines.FeedDone) routines.Question {
	s := f.shown()
	s.MarkMM, s.NozzleC = f.markAtMM(toCome), takeUp.NozzleC
	return routines.Question{
		Name: name, Figure: "mark",
		Text:    fmt.Sprintf("Mark the filament %s above the inlet.", unit(s.MarkMM, "mm")),
		Reason:  "One mark serves several blocks. Read it always to the same edge, with the filament straight along the rule.",
		Warning: []string{"The nozzle is hot and burns skin at once. Keep to the inlet."},
		Fields: []routines.Field{{Name: "mark_mm", Label: "Mark, from the inlet", Kind: routines.Number, Unit: "mm",
			Min: routines.Limit(f.leastMarkMM()), Max: routines.Limit(f.in.RuleMM), Step: f.gauge.ReadingMM(),
			OutOf: "a mark must stay outside after the block, and on the rule"}},
		Shown: s,
	}
}

// askLeft asks for the length behind a block. Hot says that the next block follows at once.
func (f *flow) askLeft(b block, hot bool) routines.Question {
	warning := "Treat the nozzle as hot until it reads below 50\u00a0°C."
	if hot {
		warning = "The nozzle is hot and burns skin at once. Keep to the inlet."
	}
	return routines.Question{
		Name: fmt.Sprintf("leftover %d", b.Number), Figure: "leftover",
		Text:    fmt.Sprintf("That was %s. How far above the inlet is the mark now?", unit(b.FlowMM3PerS, "mm³/s")),
		Reason:  f.leftReason(b),
		Warning: []string{warning},
		OneOf:   true,
		Fields: []routines.Field{f.leftField(b),
			{Name: "instead", Label: "Something else", Kind: routines.Choice, Choices: []routines.Option{
				{Value: clicking, Label: "The drive clicked"},
				{Value: grinding, Label: "It ground the filament"},
				{Value: markWentIn, Label: "The mark went in"},
				{Value: cameOut, Label: "Filament came out"},
			}}},
		Derived: f.wentIn(b),
		Shown:   f.shownBlock(b),
	}
}

func (f *flow) leftReason(b block) string {
	words := fmt.Sprintf("It was %s above it", unit(b.BeforeMM, "mm"))
	if b.Done.NozzleC > 0 {
		words += fmt.Sprintf("; the nozzle read %s of %s at the end", number(b.Done.NozzleC), unit(f.nozzleC, "°C"))
	}
	return words + "."
}

// askLeftAllTheSame asks for the length behind a block that the drive complained about.
func (f *flow) askLeftAllTheSame(b block) routines.Question {
	return routines.Question{
		Name: fmt.Sprintf("leftover %d, all the same", b.Number), Figure: "leftover",
		Text:    "The climb ends here. How far above the inlet is the mark now?",
		Reason:  "What went in of this last block shows how far beyond the limit it was.",
		Warning: []string{"Treat the nozzle as hot until it reads below 50\u00a0°C."},
		OneOf:   true,
		Fields: []routines.Field{f.leftField(b),
			{Name: "instead", Label: "It cannot be read", Kind: routines.Choice, Choices: []routines.Option{{Value: unread, Label: "It cannot be read"}}}},
		Derived: f.wentIn(b),
		Shown:   f.shownBlock(b),
	}
}

// unread is the answer of a person who cannot read the mark.
const unread = "cannot_be_read"

func (f *flow) leftField(b block) routines.Field {
	return routines.Field{Name: "leftover_mm", Label: "Mark, from the inlet", Kind: routines.Number, Unit: "mm",
		Min: routines.Limit(0), Max: routines.Limit(b.BeforeMM), Step: f.gauge.ReadingMM(),
		OutOf: fmt.Sprintf("below 0 the mark went in; above %s filament came out", unit(b.BeforeMM, "mm"))}
}

// wentIn is the sentence that follows a length as it is typed. Little is likely beyond the limit; much never is.
func (f *flow) wentIn(b block) *routines.Derived {
	long := b.Done.CommandedMM
	return &routines.Derived{Name: "went_in_mm", Unit: "mm", A: b.BeforeMM, B: -1,
		U95: round(gauge.CoverageFactor * blockSD(f.gauge, long) * long), Unlikely: [2]float64{round(0.5 * long), round(1.1 * long)}}
}
