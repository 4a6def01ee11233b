package feed_test

import (
	"math"
	"strings"
	"testing"

	"fettle/routines/feed"
)

// Each of these climbs ends without a limit, says why, and leaves no value that a docket would work with.
func TestClimbsThatFindNoLimit(t *testing.T) {
	for _, tt := range []struct {
		name, inputs, kind, says string
		short                    float64 // per cent, at the flow that the finding's level rests on
		alter                    func(*climber)
	}{
		{"all went in", `{"gauge":"caliper"}`, feed.FlowAtLeast, "nothing shows that what is fed falls", 0, func(c *climber) { c.law = slips(80, 6) }},
		{"it began too fast", `{"gauge":"caliper","fastest_mm3_per_s":60}`, feed.FlowTooFast, "from the slowest flow on", 1.8, // half of 7.5 mm³/s: 2 % of (3.75/4)²
			func(c *climber) { c.law = slips(4, 2) }},
		{"it clicked after three", `{"gauge":"caliper"}`, feed.FlowTooFew, "from 4 different flows on", 0, func(c *climber) { c.loudAt = 5.5 }},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := newClimber(t, slips(10, 6))
			tt.alter(c)
			s := quick()
			s.FeedMaxMMPerS = 30
			c.m203 = "M203 X300 Y300 Z5 E60"
			f := c.run(beginFlow(t, s, tt.inputs))
			if f.Kind != tt.kind || !strings.Contains(f.Reason, tt.says) {
				t.Errorf("it ended with %s %q: %s", f.Kind, f.Headline, f.Reason)
			}
			noEntry(t, c, "flow_limit_mm3_per_s")
			if v := value(t, f, "short_percent"); math.Abs(v.Value-tt.short) > *v.U95 || *v.U95 <= 0 || *v.U95 > 3 {
				t.Errorf("at low flow %g ± %g %% is missing, and %g truly is", v.Value, *v.U95, tt.short)
			}
		})
	}
}

// A drive that clicks at a flow that any sound one masters is to be mended first.
func TestClickingAtLowFlowIsAFault(t *testing.T) {
	c := newClimber(t, slips(40, 3))
	c.loudAt = 3
	c.says["bite"] = `{"bite":"deep"}`
	if f := c.run(beginFlow(t, quick(), `{"gauge":"caliper"}`)); f.Kind != feed.FlowShort || f.Headline != "Clear the nozzle first" {
		t.Errorf("it ended with %s %q", f.Kind, f.Headline)
	}
	noEntry(t, c, "flow_limit_mm3_per_s")
}

func TestPrinterThatDoesNotTellItsLimitIsSaid(t *testing.T) {
	c := newClimber(t, slips(10, 6))
	c.m203 = "M92 E93"
	wantNote(t, c.run(beginFlow(t, quick(), `{"gauge":"caliper"}`)), "does not tell how fast it lets its extruder go")
}
