package feed

import (
	"fmt"
	"math"

	"fettle/routines"
	"fettle/routines/gauge"
)

// What the questions of a pass are answered with.
type (
	markAnswer struct {
		MarkMM float64 `json:"mark_mm"`
	}
	strandAnswer struct {
		Strand string `json:"strand"`
	}
	leftoverAnswer struct {
		LeftoverMM *float64 `json:"leftover_mm"`
		Instead    string   `json:"instead"`
	}
)

// shown are the numbers that the figures of a pass are drawn from.
type shown struct {
	CommandedMM float64 `json:"commanded_mm"`
	MarkMM      float64 `json:"mark_mm,omitempty"`
	PreFeedMM   float64 `json:"pre_feed_mm,omitempty"`
	AirMM       float64 `json:"air_mm,omitempty"`
	RuleMM      float64 `json:"rule_mm,omitempty"`
	VolumeMM3   float64 `json:"volume_mm3,omitempty"`
	Gauge       string  `json:"gauge,omitempty"`
}

// airMM is what the strand needs below the nozzle to fall freely. Common practice, no source.
const airMM = 50

func (c *check) askAir() routines.Question {
	hotMM := c.in.CommandedMM
	if c.method.name == tubeEnd {
		hotMM = warmMM // the rest comes out of the tube, cold
	}
	volume := math.Round(hotMM * c.Setup.FilamentAreaMM2())
	return routines.Question{
		Name: "air", Figure: "air",
		Text:    fmt.Sprintf("Is there %s of air under the nozzle, and a cup?", unit(airMM, "mm")),
		Reason:  fmt.Sprintf("About %s of plastic will come out; it must fall freely, or it pushes back.", unit(volume, "mm³")),
		Warning: []string{"Hot plastic gives off fine dust and vapour. Open a window, and read the maker's data sheet of the material."},
		Fields:  []routines.Field{airField(c.Setup)},
		Shown:   shown{CommandedMM: hotMM, AirMM: airMM, VolumeMM3: volume},
	}
}

// airField is what must be so before anything heats. A tube may still be off from an earlier check that was stopped.
func airField(s routines.Setup) routines.Field {
	yes := true
	f := routines.Field{Name: "air", Label: "Air below, and a cup", Kind: routines.Yes, Must: &yes}
	if s.Drive == "bowden" {
		f.Label = "Air below, a cup, and the tube in its coupler"
	}
	return f
}

// askMark proposes a distance in what is shown, and has no default: only what a person says was set was set.
func (c *check) askMark(name string) routines.Question {
	warning := "The nozzle is hot and burns skin at once. Keep to the inlet."
	if c.method.cold {
		warning = "Treat the nozzle as hot until it reads below 50\u00a0°C."
	}
	return routines.Question{
		Name: name, Figure: "mark",
		Text:    fmt.Sprintf("Mark the filament %s above the inlet.", unit(c.markMM, "mm")),
		Reason:  "Lay it straight along the rule: bent filament is longer than it reads, and spoils the whole check.",
		Warning: []string{warning},
		Fields: []routines.Field{{Name: "mark_mm", Label: "Mark, from the inlet", Kind: routines.Number, Unit: "mm",
			Min: routines.Limit(c.leastMarkMM), Max: routines.Limit(c.in.RuleMM), Step: c.work.Gauge.ReadingMM(),
			OutOf: "a mark must stay outside after the feed, and on the rule"}},
		Shown: shown{CommandedMM: c.in.CommandedMM, MarkMM: c.markMM, PreFeedMM: c.in.PreFeedMM, RuleMM: c.in.RuleMM, Gauge: c.work.Gauge.Name},
	}
}

func (c *check) askStrand(n int) routines.Question {
	return routines.Question{
		Name: fmt.Sprintf("strand %d", n), Figure: "strand",
		Text:   "Did the strand come out smooth and silent?",
		Reason: "Popping, bubbles or a matt strand mean damp filament, and damp stops what follows.",
		Fields: []routines.Field{{Name: "strand", Label: "The strand", Kind: routines.Choice, Choices: []routines.Option{
			{Value: smooth, Label: "Smooth and silent"},
			{Value: popping, Label: "Popping, bubbles or matt"},
		}}},
		Shown: shown{CommandedMM: c.in.CommandedMM},
	}
}

func (c *check) askLeftover(n int, markMM float64) routines.Question {
	return routines.Question{
		Name: fmt.Sprintf("leftover %d", n), Figure: "leftover",
		Text:    "How far above the inlet is the mark now?",
		Reason:  fmt.Sprintf("It was %s above it; the rest went in.", unit(markMM, "mm")),
		Warning: []string{"Treat the nozzle as hot until it reads below 50\u00a0°C."},
		OneOf:   true,
		Fields: []routines.Field{
			{Name: "leftover_mm", Label: "Mark, from the inlet", Kind: routines.Number, Unit: "mm",
				Min: routines.Limit(0), Max: routines.Limit(markMM), Step: c.work.Gauge.ReadingMM(),
				OutOf: fmt.Sprintf("below 0 the mark went in; above %s filament came out", unit(markMM, "mm"))},
			{Name: "instead", Label: "It cannot be read", Kind: routines.Choice, Choices: []routines.Option{
				{Value: markWentIn, Label: "The mark went in"},
				{Value: cameOut, Label: "Filament came out"},
			}},
		},
		Derived: &routines.Derived{Name: "went_in_mm", Unit: "mm", A: markMM, B: -1, U95: round(c.one(markMM).Budget().U95),
			Unlikely: [2]float64{round(0.85 * c.in.CommandedMM), round(1.15 * c.in.CommandedMM)}},
		Shown: shown{CommandedMM: c.in.CommandedMM, MarkMM: markMM, RuleMM: c.in.RuleMM, Gauge: c.work.Gauge.Name},
	}
}

func gaugeOptions() []routines.Option {
	var out []routines.Option
	for _, g := range gauge.Instruments() {
		out = append(out, routines.Option{Value: g.Name, Label: g.Label})
	}
	return append(out, routines.Option{Value: gauge.OwnName, Label: "a gauge of your own"})
}
