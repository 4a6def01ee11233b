package feed_test

import (
	"testing"

	"fettle/routines/feed"
	"fettle/routines/replay"
)

func TestEveryPrefixOfAClimbReachesTheSameNextFact(t *testing.T) {
	for _, tt := range []struct {
		name, inputs string
		alter        func(*climber)
		ends         string
	}{
		{"found", `{"gauge":"caliper"}`, func(*climber) {}, feed.FlowFound},
		{"at least", `{"gauge":"caliper"}`, func(c *climber) { c.law = slips(60, 4) }, feed.FlowAtLeast},
		{"clicked", `{"gauge":"caliper"}`, func(c *climber) { c.loudAt = 9 }, feed.FlowFound},
		{"short", `{"gauge":"caliper"}`, func(c *climber) { c.law = func(flow float64) float64 { return 1 - 0.01*flow } }, feed.FlowShort},
		{"cooled", `{"gauge":"caliper"}`, func(c *climber) { c.cools["leftover 2"], c.cools["mark 1"] = true, true }, feed.FlowFound},
		{"prevented", `{}`, func(c *climber) { c.refuses = true }, feed.Failed},
		{"too few", `{}`, func(c *climber) { c.m203 = "M203 X300 Y300 Z5 E2" }, feed.FlowTooFew},
		{"short blocks", `{"block_mm":30,"rule_mm":150,"tolerance_percent":4}`, func(*climber) {}, feed.FlowFound},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := newClimber(t, slips(10, 6))
			tt.alter(c)
			order := beginFlow(t, quick(), tt.inputs)
			finding := c.run(order)
			if finding.Kind != tt.ends {
				t.Fatalf("it ended with %s, want %s: %s", finding.Kind, tt.ends, finding.Reason)
			}
			replay.EveryPrefix(t, feed.FlowLimit(), order, c.facts, finding)
		})
	}
}
