package feed

import (
	"cmp"
	"fmt"
	"math"

	"fettle/routines"
	"fettle/routines/gauge"
)

// checkFlow holds the inputs against each other, the setup and the material.
func checkFlow(b routines.Begin) error {
	in, err := routines.Inputs[flowInputs](b)
	if err != nil {
		return err
	}
	if b.Setup.FilamentDiameterMM <= 0 {
		return &routines.FieldError{Field: "filament_diameter_mm", Detail: "is missing in the setup", Accept: "the diameter of the filament, mm"}
	}
	as := in.asCheck(in.workingC(b))
	if err := checkOwn(as); err != nil {
		return err
	}
	g, known := as.instrument()
	if !known {
		return fmt.Errorf("check the inputs: no gauge %q", in.Gauge)
	}
	return cmp.Or(checkNozzle(as, b), in.fitRule(g), in.tellTolerance(g), in.withinSetup(b))
}

// fitRule keeps one block and its mark on the rule, with 30 mm to hold it by.
func (in flowInputs) fitRule(g gauge.Instrument) error {
	if in.RuleMM > g.LongestMM {
		return &routines.FieldError{Field: "rule_mm",
			Detail: fmt.Sprintf("is %s: a %s keeps its limits up to %s", number(in.RuleMM), g.Label, unit(g.LongestMM, "mm")),
			Accept: fmt.Sprintf("%d to %s", leastRuleMM, unit(g.LongestMM, "mm"))}
	}
	if blocksOnRule(in.RuleMM, in.BlockMM) > 0 {
		return nil
	}
	return &routines.FieldError{Field: "block_mm",
		Detail: fmt.Sprintf("is %s: its mark would leave a rule of %s", number(in.BlockMM), unit(in.RuleMM, "mm")),
		Accept: fmt.Sprintf("at most %s", unit(in.RuleMM-markSpanMM, "mm"))}
}

// tellTolerance refuses a gauge that would see the tolerance only by luck: its standard uncertainty over one block must
// be no more than half of it.
func (in flowInputs) tellTolerance(g gauge.Instrument) error {
	sd := 100 * blockSD(g, in.BlockMM)
	if sd <= in.TolerancePercent/2 {
		return nil
	}
	return &routines.FieldError{Field: "tolerance_percent",
		Detail: fmt.Sprintf("is %s: a block of %s read with a %s is uncertain by %s (one standard uncertainty)", number(in.TolerancePercent),
			unit(in.BlockMM, "mm"), g.Label, unit(sd, "%")),
		Accept: fmt.Sprintf("at least %s, a longer block, or a finer gauge", unit(math.Ceil(20*sd)/10, "%"))}
}

// withinSetup refuses a climb of which the setup leaves too few flows to find anything.
func (in flowInputs) withinSetup(b routines.Begin) error {
	fastest, area := in.fastest(b), flowAreaMM2(b)
	tried, _ := riseTo(fastest, area, b.Setup.FeedMaxMMPerS)
	if len(tried) >= leastFlows {
		return nil
	}
	most := math.Floor(100*b.Setup.FeedMaxMMPerS*area*riseSteps/leastFlows) / 100
	return &routines.FieldError{Field: "fastest_mm3_per_s",
		Detail: fmt.Sprintf("is %s: only %d of its %d steps are within the setup's %s of filament", number(fastest), len(tried), riseSteps,
			unit(b.Setup.FeedMaxMMPerS, "mm/s")),
		Accept: "at most " + unit(most, "mm³/s")}
}
