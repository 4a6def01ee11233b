package feed

import (
	"context"
	"fmt"
	"slices"

	"fettle/routines"
	"fettle/routines/gauge"
)

// check is one feed check underway: what it was begun with and what it has measured.
type check struct {
	*routines.Run
	in          inputs
	method      method
	work        gauge.Work // of a pass, with its gauge and way, before anything is measured
	nozzleC     float64
	speedMMPerS float64
	markMM      float64  // where the next mark is proposed, from the inlet
	leastMarkMM float64  // and the nearest that makes sense
	oldSteps    *float64 // steps/mm measured with; nil where the printer does not tell
	passes      []pass
	opened      bool // the tube is off the hot end
}

// do is the procedure, from the first look to the finding.
func do(r *routines.Run) (routines.Finding, error) {
	c, err := plan(r)
	if err != nil {
		return routines.Finding{}, err
	}
	if err := c.readSteps(); err != nil {
		return routines.Finding{}, err
	}
	if _, err := routines.Ask[struct{}](r, c.method.first(c)); err != nil {
		return routines.Finding{}, err
	}
	v, err := c.measure()
	if err != nil {
		return routines.Finding{}, err
	}
	if v.trouble == "" {
		r.Record(c.checkEntry(v))
	}
	if v.Kind != Change || c.oldSteps == nil {
		return c.finding(v), nil
	}
	return c.change(v)
}

// plan works out what the inputs come to on this setup.
func plan(r *routines.Run) (*check, error) {
	in, err := routines.Inputs[inputs](r.Begin)
	if err != nil {
		return nil, err
	}
	g, ok := in.instrument()
	if !ok {
		return nil, fmt.Errorf("plan the check: no gauge %q", in.Gauge)
	}
	m, ok := methodOf(in.Method)
	if !ok {
		return nil, fmt.Errorf("plan the check: no method %q", in.Method)
	}
	c := &check{Run: r, in: in, method: m,
		work:        gauge.Work{Gauge: g, Way: m.way, Line: gauge.Stretch{Blocks: int(in.Lengths)}},
		nozzleC:     nozzleC(in, r.Material),
		speedMMPerS: tidy(SpeedMMPerS(in.FlowMM3PerS, r.Setup.FilamentAreaMM2()))}
	c.markMM, c.leastMarkMM = c.firstMark()
	return c, nil
}

// decide weighs the passes so far, and whether more of them are worth it.
func (c *check) decide() verdict {
	v := decide(c.in.CommandedMM, c.work, c.passes, int(c.in.Passes), c.byParts)
	if v.trouble != "" && c.method.cold && slices.ContainsFunc(c.passes, func(p pass) bool { return p.Done.Prevented }) {
		v.trouble = "The printer refused to feed cold: its block of cold extrusion is not lifted by M302. Use another method."
	}
	v.Enough = enoughOf(v, c.in.CommandedMM, c.in.TargetPercent)
	return v
}

// firstMark is where a mark is proposed while nothing says that the printer swallows it, and the nearest that makes
// sense, mm from the inlet.
func (c *check) firstMark() (proposedMM, leastMM float64) {
	if c.method.name == twoFlags {
		return c.in.CommandedMM + nearMM, c.in.CommandedMM + markSpareMM
	}
	return MarkDistanceMM(c.in.CommandedMM), c.in.CommandedMM + markSpareMM
}

// stepsRead is what the printer's settings report said.
type stepsRead struct {
	StepsPerMM *float64 `json:"steps_per_mm,omitempty"`
}

func (c *check) readSteps() error {
	read, err := routines.Act(c.Run, "read steps", routines.Looks, func(ctx context.Context, p routines.Printer) (stepsRead, error) {
		settings, err := p.Settings(ctx)
		if err != nil {
			return stepsRead{}, fmt.Errorf("ask for the settings: %w", err)
		}
		if v, ok := settings.StepsPerMM(0); ok && v > 0 {
			return stepsRead{StepsPerMM: &v}, nil
		}
		return stepsRead{}, nil
	})
	c.oldSteps = read.StepsPerMM
	return err
}

// measure does passes until they decide, or until the person has had enough of them.
func (c *check) measure() (verdict, error) {
	for n := 1; ; n++ {
		p, err := c.method.pass(c, n, c.surelyAnother())
		if err != nil {
			return verdict{}, err
		}
		if err := c.keep(p, c.passEntry("feed_pass", p)); err != nil {
			return verdict{}, err
		}
		v := c.decide()
		if v.trouble != "" {
			return v, nil
		}
		if p.Instead == markWentIn {
			if !c.lengthenMark(p.MarkMM) {
				return boundedBy(p), nil
			}
			continue
		}
		if len(measured(c.passes)) < int(c.in.Passes) {
			continue
		}
		if n >= mostPasses || (v.Kind != CannotTell && v.Enough.ToTarget == 0) {
			return v, nil
		}
		more, err := routines.Ask[anotherAnswer](c.Run, c.askAnother(n, v))
		if err != nil || !more.Another {
			return v, err
		}
	}
}

// lengthenMark sets the next mark further out than the one that went in, or reports that the rule ends there.
func (c *check) lengthenMark(wentInMM float64) bool {
	c.markMM, c.leastMarkMM = min(1.5*wentInMM, c.in.RuleMM), wentInMM+markSpareMM
	return c.markMM >= c.leastMarkMM
}

// surelyAnother reports whether a further pass follows the one about to begin, whatever that one says.
func (c *check) surelyAnother() bool { return len(measured(c.passes))+1 < int(c.in.Passes) }

// keep adds a pass, records it, and says that the run is whole up to here.
func (c *check) keep(p pass, e routines.Entry) error {
	c.passes = append(c.passes, p)
	c.Record(e)
	return c.Whole(fmt.Sprintf("pass %d", p.Number))
}
