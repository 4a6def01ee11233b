package feed

import (
	"math"
	"slices"
	"strings"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/gauge"
)

// flowInputs is what a person chooses before the climb begins.
type flowInputs struct {
	FastestMM3PerS   *float64 `json:"fastest_mm3_per_s"` // nil: the usual for the material and the nozzle
	TolerancePercent float64  `json:"tolerance_percent"`
	Gauge            string   `json:"gauge"`
	RuleMM           float64  `json:"rule_mm"`
	BlockMM          float64  `json:"block_mm"`
	NozzleC          *float64 `json:"nozzle_c"` // nil: as the docket has it, else the material's
	OwnDivisionMM    *float64 `json:"own_division_mm"`
	OwnLimitMM       *float64 `json:"own_limit_mm"`
}

// asCheck is what of the inputs a feed check knows as well: gauge and temperature mean the same there.
func (in flowInputs) asCheck(workingC float64) inputs {
	return inputs{Gauge: in.Gauge, OwnDivisionMM: in.OwnDivisionMM, OwnLimitMM: in.OwnLimitMM, NozzleC: &workingC}
}

// What is usual where nobody says otherwise. Common practice, no source.
const (
	usualFastestMM3PerS = 16.0 // a nozzle of 0.4 mm
	softFastestMM3PerS  = 4.0  // flexible filament
	usualBoreMM         = 0.4
)

func flowFields() []routines.Field {
	return append([]routines.Field{
		{Name: "fastest_mm3_per_s", Label: "Fastest flow to try, if not the usual", Kind: routines.Number, Unit: "mm³/s",
			Min: routines.Limit(4), Max: routines.Limit(60), Step: 2, Optional: true},
		{Name: "tolerance_percent", Label: "Shortfall that counts as the limit", Kind: routines.Number, Unit: "%",
			Min: routines.Limit(0.5), Max: routines.Limit(10), Step: 0.5, Default: 2.0},
		{Name: "gauge", Label: "What you measure with", Kind: routines.Choice, Choices: gaugeOptions(), Default: "half_mm_rule"},
		{Name: "rule_mm", Label: "How long it is", Kind: routines.Number, Unit: "mm",
			Min: routines.Limit(leastRuleMM), Max: routines.Limit(2000), Step: 50, Default: 300.0},
		{Name: "block_mm", Label: "Length of each block", Kind: routines.Number, Unit: "mm",
			Min: routines.Limit(20), Max: routines.Limit(100), Step: 10, Default: 50.0,
			OutOf: "a short block tells little, and a long one grinds at the limit"},
		{Name: "nozzle_c", Label: "Nozzle temperature, if not the usual", Kind: routines.Number, Unit: "°C", Step: 5, Optional: true},
	}, ownFields()...)
}

// ownFields are those by which a gauge of one's own is described, as in a feed check.
func ownFields() []routines.Field {
	return slices.DeleteFunc(finerFields(), func(f routines.Field) bool { return !strings.HasPrefix(f.Name, "own_") })
}

// fastest is the highest flow that is tried, mm³/s: as asked for, else what is usual, in proportion to a nozzle that is
// narrower than the usual one.
func (in flowInputs) fastest(b routines.Begin) float64 {
	switch {
	case in.FastestMM3PerS != nil:
		return *in.FastestMM3PerS
	case b.Material.Flexible:
		return softFastestMM3PerS
	case b.Setup.NozzleBoreMM > 0:
		return round(usualFastestMM3PerS * math.Min(1, b.Setup.NozzleBoreMM/usualBoreMM))
	}
	return usualFastestMM3PerS
}

// workingC is the temperature at which the blocks are fed, °C.
func (in flowInputs) workingC(b routines.Begin) float64 {
	if in.NozzleC != nil {
		return *in.NozzleC
	}
	return recorded(b, kindNozzleC, b.Material.NozzleC)
}

// flowAreaMM2 is the filament's cross-section by the diameter that was found with this material, as long as that holds, else
// by the setup's, mm².
func flowAreaMM2(b routines.Begin) float64 {
	d := docket.Of("", b.Records, b.Setup, b.Material)
	return gauge.SectionMM2(d.FilamentMM(b.Setup.FilamentDiameterMM))
}

// recorded is the last value of a kind that was recorded with this material, or what holds where none was.
func recorded(b routines.Begin, kind string, otherwise float64) float64 {
	for i := len(b.Records) - 1; i >= 0; i-- {
		r := b.Records[i]
		if r.Kind == kind && r.Material == b.Material.ID && r.Value != nil && r.Standing != routines.NotWritten {
			return *r.Value
		}
	}
	return otherwise
}
