package feed

import (
	"context"

	"fettle/routines"
	"fettle/serialio/gcode"
)

// change offers the new value, writes it if the person says so, and lets one more pass prove it.
func (c *check) change(v verdict) (routines.Finding, error) {
	next, u95, _ := c.newSteps(v)
	w, err := c.write(v, next)
	if err != nil {
		return routines.Finding{}, err
	}
	c.Record(c.stepsEntry(v, next, u95, w))
	f := c.changeFinding(v, next, u95, w)
	if w.Standing == routines.NotWritten || !c.in.Verify {
		return f, nil
	}
	again, err := routines.Ask[verifyAnswer](c.Run, c.askVerify(next))
	if err != nil || !again.Verify {
		return f, err
	}
	return c.verify(v, w, f)
}

// write stores the new value if the person wants it. What was set aside is given back first, and what is in use but not
// stored is shown first, since storing one value stores them all.
func (c *check) write(v verdict, next float64) (routines.Written, error) {
	if _, err := routines.Act(c.Run, "restore", routines.Writes, restoreSetAsides); err != nil {
		return routines.Written{}, err
	}
	differences, err := routines.Act(c.Run, "compare stored", routines.Writes, compareStored)
	if err != nil {
		return routines.Written{}, err
	}
	keep, mayWrite, err := c.settleOthers(others(differences))
	if err != nil {
		return routines.Written{}, err
	}
	if !mayWrite {
		return routines.Written{Standing: routines.NotWritten, Value: *c.oldSteps,
			Why: "nothing was to be written while other settings are unsaved"}, nil
	}
	answer, err := routines.Ask[applyAnswer](c.Run, c.askApply(v, next))
	if err != nil {
		return routines.Written{}, err
	}
	if answer.Apply == leaveOld {
		return routines.Written{Standing: routines.NotWritten, Value: *c.oldSteps, Why: "the person left it as it was"}, nil
	}
	return routines.Act(c.Run, "apply", routines.Writes, func(ctx context.Context, p routines.Printer) (routines.Written, error) {
		return p.WriteSteps(ctx, *c.oldSteps, next, keep)
	})
}

// settleOthers asks what becomes of unsaved settings. It returns those to be kept in use without saving them, and
// whether anything may be written at all.
func (c *check) settleOthers(differences []gcode.Difference) (keep []gcode.Difference, mayWrite bool, err error) {
	if len(differences) == 0 {
		return nil, true, nil
	}
	answer, err := routines.Ask[differsAnswer](c.Run, askDiffers(differences))
	if err != nil || answer.Unsaved == writeNone {
		return nil, false, err
	}
	if answer.Unsaved == keepUnsaved {
		return differences, true, nil
	}
	return nil, true, nil
}

// others are the differences that are not the value about to be written: that one is replaced in both places.
func others(differences []gcode.Difference) []gcode.Difference {
	var out []gcode.Difference
	for _, d := range differences {
		if d.Word != "M92" || d.Letter != "E" || d.Tool > 0 {
			out = append(out, d)
		}
	}
	return out
}

func restoreSetAsides(ctx context.Context, p routines.Printer) (struct{}, error) {
	return struct{}{}, p.RestoreSetAsides(ctx)
}

func compareStored(ctx context.Context, p routines.Printer) ([]gcode.Difference, error) {
	return p.CompareStored(ctx)
}

// verify does one more pass with the new value and says how it compares with what the earlier ones promise.
func (c *check) verify(v verdict, w routines.Written, f routines.Finding) (routines.Finding, error) {
	c.markMM, c.leastMarkMM = c.firstMark()
	p, err := c.method.pass(c, len(c.passes)+1, false)
	if err != nil {
		return f, err
	}
	u95MM := tidy(v.Work.Again().U95)
	held := verified(p, c.in.CommandedMM, u95MM)
	if err := c.keep(p, c.verificationEntry(p, u95MM, held, w.Value)); err != nil {
		return f, err
	}
	return proof{pass: p, with: w, u95MM: u95MM, held: held}.addTo(f, c.in.CommandedMM), nil
}

// verified reports whether a pass fed what was commanded, within u95MM.
func verified(p pass, commandedMM, u95MM float64) bool {
	fed, read := p.fedMM()
	return read && fed >= commandedMM-u95MM && fed <= commandedMM+u95MM
}
