package feed

import "fettle/routines"

// inputs is what a person chooses before the check begins.
type inputs struct {
	NozzleC     *float64 `json:"nozzle_c"` // nil: the material's
	CommandedMM float64  `json:"commanded_mm"`
	RuleMM      float64  `json:"rule_mm"`
	FlowMM3PerS float64  `json:"flow_mm3_per_s"`
	Passes      float64  `json:"passes"`
	Gauge       string   `json:"gauge"`
	PreFeedMM   float64  `json:"pre_feed_mm"`
	Verify      bool     `json:"verify"`
}

// leastCommandedMM is a feed so short that no reading of it could tell 1 %; the flow default and limit serve both
// filament diameters alike. Common practice, no source.
const leastCommandedMM = 20

// leastRuleMM is a rule so short that only the shortest feeds fit it. Common practice, no source.
const leastRuleMM = 100

func inputFields() []routines.Field {
	return []routines.Field{
		{Name: "commanded_mm", Label: "Length to feed", Kind: routines.Number, Unit: "mm",
			Min: routines.Limit(leastCommandedMM), Step: 10, Default: 100.0},
		{Name: "gauge", Label: "What you measure with", Kind: routines.Choice, Choices: gaugeOptions(), Default: "half_mm_rule"},
		{Name: "rule_mm", Label: "How long it is", Kind: routines.Number, Unit: "mm",
			Min: routines.Limit(leastRuleMM), Max: routines.Limit(2000), Step: 50, Default: 300.0},
		{Name: "passes", Label: "Passes", Kind: routines.Number, Min: routines.Limit(1), Max: routines.Limit(5), Step: 1, Default: 1.0},
		{Name: "nozzle_c", Label: "Nozzle temperature, if not the material's", Kind: routines.Number, Unit: "°C", Step: 5, Optional: true},
		{Name: "flow_mm3_per_s", Label: "Flow", Kind: routines.Number, Unit: "mm³/s",
			Min: routines.Limit(0.5), Max: routines.Limit(4), Step: 0.5, Default: 2.0,
			OutOf: "a check is done slowly, or slip is taken for steps/mm"},
		{Name: "pre_feed_mm", Label: "Fed before the mark, not counted", Kind: routines.Number, Unit: "mm",
			Min: routines.Limit(2), Max: routines.Limit(50), Step: 1, Default: 5.0, OutOf: "it takes up the play of the gear, no more"},
		{Name: "verify", Label: "Offer a pass after a change", Kind: routines.Yes, Default: true},
	}
}
