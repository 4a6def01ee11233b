package feed

import (
	"fettle/routines"
	"fettle/routines/gauge"
)

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

	Method        string   `json:"method"`
	TargetPercent float64  `json:"target_percent"` // U95 that is aimed for, of what is commanded
	RuleClass     string   `json:"rule_class"`
	OwnDivisionMM *float64 `json:"own_division_mm"` // of a gauge of one's own, and how far it may be off
	OwnLimitMM    *float64 `json:"own_limit_mm"`
	Lengths       float64  `json:"lengths"` // of the method several_lengths: how many blocks a pass has
}

// instrument is the gauge that the inputs name, or false.
func (in inputs) instrument() (gauge.Instrument, bool) {
	if in.Gauge == gauge.OwnName {
		if in.OwnDivisionMM == nil || in.OwnLimitMM == nil {
			return gauge.Instrument{}, false
		}
		return gauge.Own(*in.OwnDivisionMM, *in.OwnLimitMM), true
	}
	g, ok := gauge.Named(in.Gauge)
	if of, isRule := g.OfClass(in.RuleClass); isRule {
		g = of
	}
	return g, ok
}

// leastCommandedMM is a feed so short that no reading of it could tell 1 %; the flow default and limit serve both
// filament diameters alike. Common practice, no source.
const leastCommandedMM = 20

// leastRuleMM is a rule so short that only the shortest feeds fit it. Common practice, no source.
const leastRuleMM = 100

// inputFields are asked before the check begins: the usual ones, then those that a usual check leaves as they are.
func inputFields() []routines.Field {
	return append([]routines.Field{
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
	}, finerFields()...)
}

func finerFields() []routines.Field {
	return []routines.Field{
		{Name: "method", Label: "How it is measured", Kind: routines.Choice, Choices: methodOptions(), Default: atInlet},
		{Name: "target_percent", Label: "How sure it should be, at 95 %", Kind: routines.Number, Unit: "%",
			Min: routines.Limit(0.1), Max: routines.Limit(5), Step: 0.1, Default: 0.5},
		{Name: "rule_class", Label: "Class of the rule, as printed on it", Kind: routines.Choice, Default: gauge.ClassII,
			Choices: []routines.Option{{Value: gauge.ClassI, Label: "I"}, {Value: gauge.ClassII, Label: "II, or nothing printed"}, {Value: gauge.ClassIII, Label: "III"}}},
		{Name: "own_division_mm", Label: "Smallest division of a gauge of your own", Kind: routines.Number, Unit: "mm",
			Min: routines.Limit(0.001), Max: routines.Limit(2), Step: 0.01, Optional: true},
		{Name: "own_limit_mm", Label: "How far it may be off", Kind: routines.Number, Unit: "mm",
			Min: routines.Limit(0), Max: routines.Limit(5), Step: 0.01, Optional: true},
		{Name: "lengths", Label: "Lengths against one mark", Kind: routines.Number, Min: routines.Limit(3), Max: routines.Limit(8), Step: 1, Default: 5.0},
	}
}
