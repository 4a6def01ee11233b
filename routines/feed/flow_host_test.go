package feed_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"fettle/routines"
	"fettle/routines/feed"
	"fettle/serialio/gcode"
)

// climber is a bench whose filament slips by a law: the part of a commanded length that goes in at a flow. The person reads
// the truth plus an error of their own.
type climber struct {
	*bench
	law      func(flowMM3PerS float64) float64
	loudAt   float64 // the drive clicks from this flow on; 0: never
	m203     string  // what the printer says of its fastest
	nozzleC  func(flowMM3PerS float64) float64
	areaMM2  float64
	leftMM   float64
	lastFlow float64
	flows    []float64 // of the blocks, in order
	speeds   []float64 // the same, in mm/s
	misread  func() float64
	division float64
}

func newClimber(t *testing.T, law func(float64) float64) *climber {
	return &climber{bench: newBench(t, 93, 1), law: law, m203: "M203 X300.00 Y300.00 Z5.00 E25.00", areaMM2: math.Pi * 1.75 * 1.75 / 4,
		nozzleC: func(float64) float64 { return 210 }, misread: func() float64 { return 0 }}
}

func (c *climber) Printer() routines.Printer { return c }

func (c *climber) Settings(context.Context) (gcode.Settings, error) {
	return gcode.ParseSettings([]string{"M92 X80.00 Y80.00 Z400.00 E93.00", c.m203}), nil
}

func (c *climber) Feed(_ context.Context, lengthMM, speedMMPerS float64) (routines.FeedDone, error) {
	flow := speedMMPerS * c.areaMM2
	c.did = append(c.did, fmt.Sprintf("feed %g at %.3f", lengthMM, speedMMPerS))
	if lengthMM > 10 {
		c.flows = append(c.flows, math.Round(flow*100)/100)
		c.speeds = append(c.speeds, speedMMPerS)
		c.leftMM -= lengthMM * c.law(flow)
		c.lastFlow = flow
	}
	return routines.FeedDone{CommandedMM: lengthMM, SpeedMMPerS: speedMMPerS, NozzleC: c.nozzleC(flow), Prevented: c.refuses}, nil
}

func (c *climber) Answer(ctx context.Context, q routines.Question, entries []routines.Entry, open bool) (json.RawMessage, bool, error) {
	if _, said := c.says[q.Name]; !said {
		if a := c.obvious(q); a != "" {
			c.says[q.Name] = a
		}
	}
	raw, cooled, err := c.bench.Answer(ctx, q, entries, open)
	if strings.HasPrefix(q.Name, "mark ") && err == nil {
		c.leftMM = c.marks[len(c.marks)-1]
	}
	return raw, cooled, err
}

func (c *climber) obvious(q routines.Question) string {
	kind, _, _ := strings.Cut(q.Name, " ")
	switch {
	case kind == "bite":
		return `{"bite":"shallow"}`
	case kind != "leftover":
		return ""
	case c.loudAt > 0 && c.lastFlow >= c.loudAt && !strings.HasSuffix(q.Name, "all the same"):
		return `{"instead":"clicking"}`
	}
	return fmt.Sprintf(`{"leftover_mm":%.6f}`, min(max(0, c.read()), *q.Fields[0].Max))
}

// read is what the person reads off the rule: the truth, somewhat off, to the nearest division.
func (c *climber) read() float64 {
	left := c.leftMM + c.misread()
	if c.division > 0 {
		left = math.Round(left/c.division) * c.division
	}
	return left
}

// quick is a direct drive whose setup lets filament go as fast as the usual climb wants.
func quick() routines.Setup {
	s := direct()
	s.FeedMaxMMPerS = 12
	return s
}

func beginFlow(t *testing.T, s routines.Setup, inputs string, records ...routines.Record) routines.Begin {
	t.Helper()
	filled, err := routines.ValidateInputs(feed.FlowLimit().Inputs, json.RawMessage(inputs))
	if err != nil {
		t.Fatalf("inputs: %v", err)
	}
	b := routines.Begin{Inputs: filled, Setup: s, Material: rigid(), Records: records}
	if err := feed.FlowLimit().Check(b); err != nil {
		t.Fatalf("inputs: %v", err)
	}
	return b
}

func (c *climber) run(begin routines.Begin) routines.Finding {
	c.t.Helper()
	r := routines.NewRun(context.Background(), begin, nil, c)
	f, err := feed.FlowLimit().Do(r)
	if err != nil {
		c.t.Fatalf("the climb: %v", err)
	}
	c.entries = append(c.entries, r.Recorded()...)
	return f
}

// slips is a law of the tests' own: a power of the flow, with 2 % lost at the limit.
func slips(limit, power float64) func(float64) float64 {
	return func(flow float64) float64 { return math.Max(0, 1-0.02*math.Pow(flow/limit, power)) }
}
