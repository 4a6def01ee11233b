package feed_test

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"fettle/routines"
	"fettle/routines/feed"
)

func noEntry(t *testing.T, c *climber, kind string) {
	t.Helper()
	if slices.ContainsFunc(c.entries, func(e routines.Entry) bool { return e.Kind == kind }) {
		t.Errorf("%s was recorded", kind)
	}
}

// The limit of the law is 10 mm³/s; 0.8 of it are 8, and a line of 0.45 by 0.25 mm takes those at 71.1 mm/s (8/0.1125).
func TestLimitIsFoundAndAPartOfItKept(t *testing.T) {
	c := newClimber(t, slips(10, 6))
	f := c.run(beginFlow(t, quick(), `{"gauge":"caliper"}`))
	if f.Kind != feed.FlowFound {
		t.Fatalf("it ended with %s: %s", f.Kind, f.Reason)
	}
	near(t, "limit", value(t, f, "falls_at_mm3_per_s").Value, 10, 0.35)
	near(t, "working value", value(t, f, "flow_limit_mm3_per_s").Value, 0.8*value(t, f, "falls_at_mm3_per_s").Value, 1e-5)
	near(t, "top speed", value(t, f, "top_speed_mm_per_s").Value, value(t, f, "flow_limit_mm3_per_s").Value/(0.45*0.25), 1e-3)
	if from, to := value(t, f, "from_mm3_per_s").Value, value(t, f, "to_mm3_per_s").Value; !(from < 10 && 10 < to && to-from < 2) {
		t.Errorf("the interval is %g to %g", from, to)
	}
	if want := []float64{2, 4, 6, 8, 10, 12, 10.67, 11.33}; !slices.Equal(c.flows, want) {
		t.Errorf("the flows were %v, want %v", c.flows, want)
	}
	e, open := c.entry("flow_limit_mm3_per_s")
	if *e.Value != value(t, f, "flow_limit_mm3_per_s").Value || *e.U95 != *value(t, f, "flow_limit_mm3_per_s").U95 || open["working_share"] != 0.8 ||
		open["tolerance_percent"] != 2.0 || open["nozzle_c"] != 210.0 {
		t.Errorf("the entry is %+v %v", e, open)
	}
	noEntry(t, c, "steps_per_mm")
	noEntry(t, c, "nozzle_c") // as the data sheet has it
}

func TestOneMarkServesSeveralBlocksAndTheNozzleCoolsBeforeTheNext(t *testing.T) {
	c := newClimber(t, slips(10, 6))
	c.run(beginFlow(t, quick(), `{"gauge":"caliper"}`))
	var asked []string
	for _, q := range c.questions {
		asked = append(asked, q.Name)
	}
	want := []string{"air", "mark 1", "leftover 1", "leftover 2", "leftover 3", "leftover 4", "leftover 5",
		"mark 6", "leftover 6", "leftover 7", "leftover 8"}
	if !slices.Equal(asked, want) {
		t.Errorf("asked %q, want %q", asked, want)
	}
	at := slices.Index(c.did, "cool")
	if at < 0 || c.did[at-1] != "feed 50 at 4.158" || c.did[at+1] != "ready at 210" || c.did[at+2] != "feed 10 at 0.832" {
		t.Errorf("the printer did %q", c.did)
	}
	if c.did[len(c.did)-1] != "cool" {
		t.Errorf("it ends with %q", c.did[len(c.did)-1])
	}
}

// A nozzle that cooled while a question waited has let the filament sag: what was read no longer holds.
func TestCooledMidwayTheMarkIsSetAnew(t *testing.T) {
	c := newClimber(t, slips(10, 6))
	c.cools["leftover 2"] = true
	c.run(beginFlow(t, quick(), `{"gauge":"caliper"}`))
	if !slices.ContainsFunc(c.questions, func(q routines.Question) bool { return q.Name == "mark 3" }) {
		t.Error("no new mark was asked for")
	}
}

// After the last step of a climb the heater is off, since no block surely follows; where two more do, a mark with room left
// on it does not serve them.
func TestHeaterOffTheMarkIsSetAnew(t *testing.T) {
	c := newClimber(t, slips(14, 8))
	c.says["mark 6"] = `{"mark_mm":290}`
	c.run(beginFlow(t, quick(), `{"gauge":"caliper"}`))
	if len(c.flows) != 10 || !slices.ContainsFunc(c.questions, func(q routines.Question) bool { return q.Name == "mark 9" }) {
		t.Errorf("no new mark was asked for among %d blocks: %v", len(c.flows), c.flows)
	}
}

func TestTemperatureIsReadAtEveryStepAndShown(t *testing.T) {
	c := newClimber(t, slips(10, 6))
	c.nozzleC = func(flow float64) float64 { return 211 - flow }
	f := c.run(beginFlow(t, quick(), `{"gauge":"caliper"}`))
	for _, q := range c.questions {
		if strings.HasPrefix(q.Name, "leftover") && !strings.Contains(q.Reason, "; the nozzle read ") {
			t.Errorf("%s shows no temperature: %q", q.Name, q.Reason)
		}
	}
	wantNote(t, f, "The nozzle read only 199 of 210")
	if _, open := c.entry("flow_block"); open["feed"].(map[string]any)["nozzle_c"] == nil {
		t.Errorf("the block rests on %v", open)
	}
}

func TestWhatIsTooFastIsSkippedAndSaid(t *testing.T) {
	for _, tt := range []struct {
		name, m203, says string
		setup            float64
		most             float64
	}{
		{"the setup's", "M203 X300 Y300 Z5 E25", "Left out: 14, 16\u00a0mm³/s, faster than the setup's limit of 5", 5, 12},
		{"the firmware's", "M203 X300 Y300 Z5 E4.2", "Left out: 12, 14, 16\u00a0mm³/s, faster than the firmware's limit (M203 E) of 4.2", 12, 10},
		{"the firmware's, in mm/min", "M203 X18000 Y18000 Z300 E252", "faster than the firmware's limit (M203 E) of 4.2", 12, 10},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := newClimber(t, slips(30, 6))
			c.m203 = tt.m203
			s := direct()
			s.FeedMaxMMPerS = tt.setup
			f := c.run(beginFlow(t, s, `{"gauge":"caliper"}`))
			wantNote(t, f, tt.says)
			if !strings.Contains(c.questions[0].Reason, tt.says) {
				t.Errorf("it is not said beforehand: %q", c.questions[0].Reason)
			}
			if got := slices.Max(c.flows); got != tt.most {
				t.Errorf("the fastest was %g, want %g", got, tt.most)
			}
			if f.Kind != feed.FlowAtLeast {
				t.Errorf("it ended with %s", f.Kind)
			}
		})
	}
}

func TestNothingIsFedWhereTheFirmwareLeavesTooFew(t *testing.T) {
	c := newClimber(t, slips(10, 6))
	c.m203 = "M203 X300 Y300 Z5 E2"
	if f := c.run(beginFlow(t, quick(), `{}`)); f.Kind != feed.FlowTooFew || len(c.did) > 0 {
		t.Errorf("it ended with %s after %q", f.Kind, c.did)
	}
}

func TestClickingEndsTheClimb(t *testing.T) {
	c := newClimber(t, slips(40, 3))
	c.loudAt = 9.5
	f := c.run(beginFlow(t, quick(), `{"gauge":"caliper"}`))
	if f.Kind != feed.FlowFound || slices.Max(c.flows) != 10 || len(c.flows) != 5 {
		t.Fatalf("it ended with %s after %v: %s", f.Kind, c.flows, f.Reason)
	}
	if to := value(t, f, "to_mm3_per_s").Value; to != 10 {
		t.Errorf("the limit may be as high as %g", to)
	}
	if v := value(t, f, "falls_at_mm3_per_s"); v.Value >= 10 || v.Value < 7 || *v.U95 <= 0 {
		t.Errorf("the limit is %+v", v)
	}
	if _, open := c.entry("flow_limit_mm3_per_s"); open["by_ear"] != true {
		t.Errorf("the entry rests on %v", open)
	}
}

func TestGrindingThatCannotBeReadStillEndsIt(t *testing.T) {
	c := newClimber(t, slips(40, 3))
	c.says["leftover 6"] = `{"instead":"grinding"}`
	c.says["leftover 6, all the same"] = `{"instead":"cannot_be_read"}`
	f := c.run(beginFlow(t, quick(), `{"gauge":"caliper"}`))
	if f.Kind != feed.FlowFound || value(t, f, "to_mm3_per_s").Value != 12 {
		t.Errorf("it ended with %s %v: %s", f.Kind, f.Values, f.Reason)
	}
	wantNote(t, f, "brush the gear")
}

// A weak idler by the simulation that the defaults come from: 0.4 to 0.8 % short at 1.5 mm³/s, growing to 7 % at 8.
func TestShortfallThatGrowsFromTheStartIsToldApart(t *testing.T) {
	weak := func(flow float64) float64 { return 1 - 0.006*(flow/1.5)*(1+flow/8) }
	for _, tt := range []struct{ bite, headline string }{
		{"shallow", "Mend the grip first"}, {"deep", "Clear the nozzle first"}, {"unseen", "Look at grip and nozzle first"},
	} {
		c := newClimber(t, weak)
		c.says["bite"] = `{"bite":"` + tt.bite + `"}`
		f := c.run(beginFlow(t, quick(), `{"gauge":"caliper"}`))
		if f.Kind != feed.FlowShort || f.Headline != tt.headline || !strings.Contains(f.Reason, "no matter of steps/mm") {
			t.Errorf("%s: it ended with %s %q: %s", tt.bite, f.Kind, f.Headline, f.Reason)
		}
		noEntry(t, c, "flow_limit_mm3_per_s")
		noEntry(t, c, "steps_per_mm")
		c.entry("flow_short")
	}
	c := newClimber(t, weak)
	c.says["bite"] = `{"bite":"even"}`
	if f := c.run(beginFlow(t, quick(), `{"gauge":"caliper"}`)); f.Kind != feed.FlowFound {
		t.Errorf("no fault seen: it ended with %s %q", f.Kind, f.Headline)
	}
	c.entry("flow_limit_mm3_per_s")
	c = newClimber(t, weak)
	c.nozzleC = func(float64) float64 { return 202 }
	if f := c.run(beginFlow(t, quick(), `{"gauge":"caliper"}`)); f.Headline != "Too cold first of all" {
		t.Errorf("cold: it ended with %q", f.Headline)
	}
}

// A shortfall that is the same at every flow is no slip: the limit is found beside it, and a feed check is named.
func TestEvenShortfallIsNotTakenForSlip(t *testing.T) {
	law := slips(10, 6)
	c := newClimber(t, func(flow float64) float64 { return 0.96 * law(flow) })
	f := c.run(beginFlow(t, quick(), `{"gauge":"caliper"}`))
	if f.Kind != feed.FlowFound {
		t.Fatalf("it ended with %s: %s", f.Kind, f.Reason)
	}
	near(t, "limit", value(t, f, "falls_at_mm3_per_s").Value, 10, 0.35)
	wantNote(t, f, "that is no slip. A slow feed check tells what it is.")
	noEntry(t, c, "steps_per_mm")
}

func TestWhatIsNoMatterOfAFlowLimit(t *testing.T) {
	for name, tt := range map[string]struct {
		alter func(*climber)
		says  string
	}{
		"refused":  {func(c *climber) { c.refuses = true }, "too cold"},
		"came out": {func(c *climber) { c.says["leftover 2"] = `{"instead":"filament_came_out"}` }, "backwards"},
		"went in":  {func(c *climber) { c.says["leftover 5"] = `{"instead":"mark_went_in"}` }, "feed check"},
		"half":     {func(c *climber) { c.law = func(float64) float64 { return 0.4 } }, "slowest flow"},
		"twice":    {func(c *climber) { c.law = func(float64) float64 { return 1.4 } }, "feed check"},
	} {
		c := newClimber(t, slips(10, 6))
		tt.alter(c)
		f := c.run(beginFlow(t, quick(), `{}`))
		if f.Kind != feed.Failed || !strings.Contains(f.Reason, tt.says) {
			t.Errorf("%s: it ended with %s: %s", name, f.Kind, f.Reason)
		}
		if c.did[len(c.did)-1] != "cool" {
			t.Errorf("%s: it ends with %q", name, c.did[len(c.did)-1])
		}
		noEntry(t, c, "flow_limit_mm3_per_s")
	}
}

// What the docket has is used: its temperature, and its diameter for the section (1.70 mm: 2.270 mm²).
func TestDocketsTemperatureAndDiameterAreUsed(t *testing.T) {
	nozzle, diameter := 220.0, 1.70
	c := newClimber(t, slips(10, 6))
	c.areaMM2 = 2.269801
	record := func(kind string, v *float64) routines.Record {
		return routines.Record{Material: "m1", Entry: routines.Entry{Kind: kind, Value: v}}
	}
	others := record("nozzle_c", &diameter) // of another material, and the newest
	others.Material = "m2"
	f := c.run(beginFlow(t, quick(), `{"gauge":"caliper"}`, record("nozzle_c", &nozzle), record("filament_diameter_mm", &diameter), others))
	near(t, "limit", value(t, f, "falls_at_mm3_per_s").Value, 10, 0.35)
	if c.did[0] != "ready at 220" || c.flows[0] != 2 {
		t.Errorf("the printer did %q at %v", c.did[:2], c.flows)
	}
	noEntry(t, c, "nozzle_c")
	c = newClimber(t, slips(10, 6))
	c.run(beginFlow(t, quick(), `{"gauge":"caliper","nozzle_c":215}`, record("nozzle_c", &nozzle)))
	at := slices.IndexFunc(c.entries, func(e routines.Entry) bool { return e.Kind == "nozzle_c" })
	if at < 0 || *c.entries[at].Value != 215 {
		t.Errorf("the temperature that it holds at is not among %d entries", len(c.entries))
	}
}

// The section is that of this material's own filament, while its diameter holds.
func TestSectionIsByThisMaterialsDiameter(t *testing.T) {
	thin, thick := 1.70, 1.80
	measured := func(id int64, material string, mm *float64) routines.Record {
		return routines.Record{ID: id, Material: material, Entry: routines.Entry{Kind: "filament_diameter_mm", Value: mm}}
	}
	spool := func(id int64, material string) routines.Record {
		return routines.Record{ID: id, Material: material, Entry: routines.Entry{Kind: "change", Body: []byte(`{"what":"new_spool"}`)}}
	}
	for name, tt := range map[string]struct {
		records []routines.Record
		wantMM  float64
	}{
		"never measured":             {nil, 1.75},
		"another material's":         {[]routines.Record{measured(1, "m2", &thick)}, 1.75},
		"its own":                    {[]routines.Record{measured(1, "m1", &thin), measured(2, "m2", &thick)}, 1.70},
		"its newest":                 {[]routines.Record{measured(1, "m1", &thin), measured(2, "m1", &thick)}, 1.80},
		"of a spool that is used up": {[]routines.Record{measured(1, "m1", &thin), spool(2, "m1")}, 1.75},
		"another's spool":            {[]routines.Record{measured(1, "m1", &thin), spool(2, "m2")}, 1.70},
	} {
		c := newClimber(t, slips(10, 6))
		c.areaMM2 = math.Pi * tt.wantMM * tt.wantMM / 4
		c.run(beginFlow(t, quick(), `{"gauge":"caliper"}`, tt.records...))
		near(t, name+": slowest flow, mm³/s", c.speeds[0]*c.areaMM2, 2, 1e-5)
	}
}

func TestPastOfAnotherProgramIsNotClimbedOn(t *testing.T) {
	past := []routines.Fact{{Kind: routines.Asked, Name: "something else"}}
	_, err := feed.FlowLimit().Do(routines.NewRun(context.Background(), beginFlow(t, quick(), `{}`), past, newClimber(t, slips(10, 6))))
	if err == nil || !strings.Contains(err.Error(), "where begun") {
		t.Errorf("got %v", err)
	}
}
