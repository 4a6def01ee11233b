package feed_test

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"fettle/routines"
	"fettle/routines/feed"
)

func TestEachRefusalNamesItsFieldAndWhatIsAccepted(t *testing.T) {
	slow, hot, nameless := direct(), direct(), direct()
	slow.FeedMaxMMPerS, hot.NozzleMaxC, nameless.FilamentDiameterMM = 1, 205, 0
	steel := rigid()
	steel.NozzleC, steel.NozzleMaxC = 260, 290
	for _, tt := range []struct {
		name, inputs         string
		setup                routines.Setup
		material             routines.Material
		field, says, accepts string
	}{
		{"mark off the rule", `{"commanded_mm":300}`, direct(), rigid(), "commanded_mm", "a rule of 300\u00a0mm", "20 to 225\u00a0mm"},
		{"mark off a short rule", `{"commanded_mm":58,"rule_mm":100}`, direct(), rigid(), "commanded_mm", "a rule of 100\u00a0mm", "20 to 50\u00a0mm"},
		{"no such caliper", `{"gauge":"caliper","rule_mm":350}`, direct(), rigid(), "rule_mm", "up to 300\u00a0mm", "100 to 300\u00a0mm"},
		{"no such rule", `{"gauge":"mm_rule","rule_mm":2500}`, direct(), rigid(), "rule_mm", "outside", "100 to 2000 mm"},
		{"too short", `{"commanded_mm":10}`, direct(), rigid(), "commanded_mm", "outside", "at least 20 mm"},
		{"half a pass", `{"passes":1.5}`, direct(), rigid(), "passes", "whole number", "1 to 5"},
		{"too many passes", `{"passes":6}`, direct(), rigid(), "passes", "outside", "1 to 5"},
		{"unknown gauge", `{"gauge":"eye"}`, direct(), rigid(), "gauge", "none of the choices", "caliper"},
		{"too fast to tell slip", `{"flow_mm3_per_s":5}`, direct(), rigid(), "flow_mm3_per_s", "slip", "0.5 to 4 mm³/s"},
		{"too fast for the setup", `{"flow_mm3_per_s":4}`, slow, rigid(), "flow_mm3_per_s", "the setup's 1\u00a0mm/s", "at most 2.4\u00a0mm³/s"},
		{"above the data sheet", `{"nozzle_c":235}`, direct(), rigid(), "nozzle_c", "the 230\u00a0°C of the material's data sheet", "190 to 230\u00a0°C"},
		{"below the data sheet", `{"nozzle_c":170}`, direct(), rigid(), "nozzle_c", "below the 190\u00a0°C", "190 to 230\u00a0°C"},
		{"above the printer's maker", `{}`, hot, rigid(), "nozzle_c", "the 205\u00a0°C of the printer's maker", "190 to 205\u00a0°C"},
		{"liner unknown", `{}`, direct(), steel, "nozzle_c", "the 240\u00a0°C that hold while a fluoropolymer liner", "190 to 240\u00a0°C"},
		{"no pre-feed", `{"pre_feed_mm":0}`, direct(), rigid(), "pre_feed_mm", "play of the gear", "2 to 50 mm"},
		{"cold through a tube", `{"method":"cold"}`, bowden(), rigid(), "method", "needs a direct drive", "inlet, two_flags, several_lengths, tube_end"},
		{"no tube", `{"method":"tube_end","gauge":"caliper"}`, direct(), rigid(), "method", "needs a tube", "inlet, two_flags, several_lengths, cold"},
		{"a piece by rule", `{"method":"tube_end","gauge":"mm_rule"}`, bowden(), rigid(), "gauge", "with a caliper", "divisions up to 0.1\u00a0mm"},
		{"a piece beyond the caliper", `{"method":"tube_end","gauge":"caliper","rule_mm":150,"commanded_mm":140}`, bowden(), rigid(), "commanded_mm", "longer than the 150\u00a0mm", "20 to 130\u00a0mm"},
		{"flags off the rule", `{"method":"two_flags","commanded_mm":295}`, direct(), rigid(), "commanded_mm", "its flags would leave", "20 to 290\u00a0mm"},
		{"blocks too short", `{"method":"several_lengths","commanded_mm":40}`, direct(), rigid(), "commanded_mm", "under 10 mm", "at least 50\u00a0mm for 5 lengths"},
		{"half a length", `{"method":"several_lengths","lengths":3.5}`, direct(), rigid(), "lengths", "whole number", "3 to 8"},
		{"two lengths", `{"method":"several_lengths","lengths":2}`, direct(), rigid(), "lengths", "outside", "3 to 8"},
		{"own, not described", `{"gauge":"own","own_division_mm":0.1}`, direct(), rigid(), "own_limit_mm", "missing", "mm"},
		{"described, not own", `{"gauge":"caliper","own_limit_mm":0.1}`, direct(), rigid(), "own_limit_mm", "another gauge", "own"},
		{"no such class", `{"rule_class":"IV"}`, direct(), rigid(), "rule_class", "none of the choices", "I, II, III"},
		{"no such method", `{"method":"guess"}`, direct(), rigid(), "method", "none of the choices", "two_flags"},
		{"a target out of sense", `{"target_percent":0.01}`, direct(), rigid(), "target_percent", "outside", "0.1 to 5 %"},
		{"no diameter", `{}`, nameless, rigid(), "filament_diameter_mm", "missing", "mm"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			err := refuse(tt.inputs, tt.setup, tt.material)
			var bad *routines.FieldError
			if !errors.As(err, &bad) {
				t.Fatalf("got %v, want a FieldError", err)
			}
			if bad.Field != tt.field || !strings.Contains(bad.Detail, tt.says) || !strings.Contains(bad.Accept, tt.accepts) {
				t.Errorf("refused with %q %q %q", bad.Field, bad.Detail, bad.Accept)
			}
		})
	}
}

func refuse(inputs string, s routines.Setup, m routines.Material) error {
	filled, err := routines.ValidateInputs(feed.Check().Inputs, json.RawMessage(inputs))
	if err != nil {
		return err
	}
	return feed.Check().Check(routines.Begin{Inputs: filled, Setup: s, Material: m})
}

func TestEachAnswerThatCannotBeIsRefused(t *testing.T) {
	b := newBench(t, 93, 0.984)
	b.run(begin(t, direct(), `{"gauge":"caliper"}`))
	asked := map[string]routines.Question{}
	for _, q := range b.questions {
		asked[q.Name] = q
	}
	for _, tt := range []struct{ question, answer, says string }{
		{"air", `{"air":false}`, "accepted: true"},
		{"mark 1", `{}`, "mark_mm is missing"},
		{"mark 1", `{"mark_mm":90}`, "105 to 300 mm"},
		{"mark 1", `{"mark_mm":320}`, "on the rule"},
		{"strand 1", `{}`, "is missing"},
		{"leftover 1", `{"leftover_mm":121}`, "above 120\u00a0mm filament came out"},
		{"leftover 1", `{"leftover_mm":-1}`, "below 0 the mark went in"},
		{"leftover 1", `{}`, "one of leftover_mm, instead"},
		{"leftover 1", `{"leftover_mm":20,"instead":"mark_went_in"}`, "answer"},
		{"apply", `{"apply":"perhaps"}`, "write, leave"},
	} {
		if _, err := asked[tt.question].Validate(json.RawMessage(tt.answer)); err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s to %q: %v, want %q", tt.answer, tt.question, err, tt.says)
		}
	}
	if u := asked["leftover 1"].Derived.Unlikely; u != [2]float64{85, 115} {
		t.Errorf("unlikely outside %v, want 85 to 115", u)
	}
}
