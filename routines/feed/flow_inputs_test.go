package feed_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"fettle/routines"
	"fettle/routines/feed"
)

// asked is a climb up to a flow with a caliper, or why it is refused.
func asked(s routines.Setup, fastestMM3PerS float64) (routines.Begin, error) {
	filled, err := routines.ValidateInputs(feed.FlowLimit().Inputs, fmt.Appendf(nil, `{"gauge":"caliper","fastest_mm3_per_s":%g}`, fastestMM3PerS))
	if err != nil {
		return routines.Begin{}, err
	}
	b := routines.Begin{Inputs: filled, Setup: s, Material: rigid()}
	return b, feed.FlowLimit().Check(b)
}

func m203(mmPerS float64) string { return fmt.Sprintf("M203 X300.00 Y300.00 Z5.00 E%.6f", mmPerS) }

func TestInputsThatCannotServe(t *testing.T) {
	narrow, slow, none := quick(), quick(), quick()
	narrow.NozzleBoreMM, slow.FeedMaxMMPerS, none.FilamentDiameterMM = 0.2, 2, 0
	for _, tt := range []struct {
		name, inputs, field, says string
		setup                     routines.Setup
	}{
		{"a rule too coarse for the block", `{"gauge":"mm_rule","block_mm":30}`, "tolerance_percent", "at least 2.9", quick()},
		{"a tolerance that no block tells", `{"tolerance_percent":0.5}`, "tolerance_percent", "a longer block", quick()},
		{"a block longer than the rule", `{"block_mm":100,"rule_mm":100}`, "block_mm", "at most 50", quick()},
		{"a caliper of half a metre", `{"gauge":"caliper","rule_mm":500}`, "rule_mm", "to 300", quick()},
		{"too hot", `{"nozzle_c":300}`, "nozzle_c", "190 to 230", quick()},
		{"too fast for the setup", `{}`, "fastest_mm3_per_s", "at most 9.62", slow},
		{"a gauge of one's own, not described", `{"gauge":"own","own_division_mm":0.1}`, "own_limit_mm", "a number of mm", quick()},
		{"a gauge of one's own that is too coarse", `{"gauge":"own","own_division_mm":2,"own_limit_mm":1}`, "tolerance_percent", "finer gauge", quick()},
		{"a gauge of one's own", `{"gauge":"own","own_division_mm":0.1,"own_limit_mm":0.1}`, "", "", quick()},
		{"no diameter", `{}`, "filament_diameter_mm", "diameter", none},
		{"usual of a narrow nozzle", `{}`, "", "", narrow},
	} {
		t.Run(tt.name, func(t *testing.T) {
			filled, err := routines.ValidateInputs(feed.FlowLimit().Inputs, json.RawMessage(tt.inputs))
			if err != nil {
				t.Fatal(err)
			}
			err = feed.FlowLimit().Check(routines.Begin{Inputs: filled, Setup: tt.setup, Material: rigid()})
			var field *routines.FieldError
			if tt.field == "" {
				if err != nil {
					t.Error(err)
				}
			} else if !errors.As(err, &field) || field.Field != tt.field || !strings.Contains(field.Accept, tt.says) {
				t.Errorf("got %v, want %s to accept %q", err, tt.field, tt.says)
			}
		})
	}
}

// Narrow nozzles and soft filament are climbed lower by themselves.
func TestUsualFastest(t *testing.T) {
	narrow := quick()
	narrow.NozzleBoreMM = 0.2
	c := newClimber(t, slips(60, 4))
	c.run(beginFlow(t, narrow, `{"gauge":"caliper"}`))
	if last := c.flows[len(c.flows)-1]; last != 8 {
		t.Errorf("narrow: up to %g", last)
	}
	order := beginFlow(t, quick(), `{"gauge":"caliper"}`)
	order.Material.Flexible = true
	c = newClimber(t, slips(60, 4))
	c.run(order)
	if last := c.flows[len(c.flows)-1]; last != 4 {
		t.Errorf("soft: up to %g", last)
	}
}
