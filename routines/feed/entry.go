package feed

import (
	"encoding/json"

	"fettle/routines"
	"fettle/routines/gauge"
)

// passBody is everything a pass rests on.
type passBody struct {
	pass
	WentInMM    *float64 `json:"went_in_mm,omitempty"`
	CommandedMM float64  `json:"commanded_mm"`
	PreFeedMM   float64  `json:"pre_feed_mm"`
	NozzleC     float64  `json:"nozzle_c"`
	StepsPerMM  *float64 `json:"measured_with_steps_per_mm,omitempty"`
	Gauge       string   `json:"gauge"`
	Method      string   `json:"method,omitempty"`
	Program     string   `json:"program"`
	Within      *bool    `json:"within,omitempty"`
	WithinMM    *float64 `json:"within_mm,omitempty"`
}

// checkBody is what the passes of a check came to.
type checkBody struct {
	Finding     string               `json:"finding"`
	Percent     float64              `json:"percent"`
	U95Percent  float64              `json:"u95_percent"`
	CommandedMM float64              `json:"commanded_mm"`
	Passes      int                  `json:"passes"`
	Gauge       string               `json:"gauge"`
	RuleClass   string               `json:"rule_class,omitempty"`
	Method      string               `json:"method,omitempty"`
	Target      float64              `json:"target_percent,omitempty"`
	StepsPerMM  *float64             `json:"measured_with_steps_per_mm,omitempty"`
	Coverage    float64              `json:"coverage_factor,omitempty"` // of u95_percent and of the entry's own U95
	Budget      []routines.BudgetRow `json:"budget,omitempty"`
	Program     string               `json:"program"`
}

// stepsBody is a change of steps/mm, written or not.
type stepsBody struct {
	Old       float64 `json:"old_steps_per_mm"`
	New       float64 `json:"new_steps_per_mm"`
	Now       float64 `json:"now_steps_per_mm"`
	Why       string  `json:"why"`
	NotWhy    string  `json:"not_verified_because,omitempty"`
	Said      string  `json:"printer_said,omitempty"`
	DoInstead string  `json:"do_instead,omitempty"`
	Gauge     string  `json:"gauge"`
	Program   string  `json:"program"`
}

func (c *check) passEntry(kind string, p pass) routines.Entry {
	return c.passEntryWith(kind, p, passBody{})
}

func (c *check) passEntryWith(kind string, p pass, b passBody) routines.Entry {
	b.pass, b.CommandedMM, b.PreFeedMM, b.NozzleC = p, c.in.CommandedMM, c.in.PreFeedMM, c.nozzleC
	b.Gauge, b.Method, b.Program = c.work.Gauge.Name, c.in.Method, program
	if c.method.cold {
		b.NozzleC = p.Done.NozzleC
	}
	if b.StepsPerMM == nil {
		b.StepsPerMM = c.oldSteps
	}
	e := routines.Entry{Kind: kind, Unit: "mm"}
	if fed, read := p.fedMM(); read {
		work, _ := workOf(c.work, []pass{p})
		u95 := tidy(work.Budget().U95)
		b.WentInMM, e.Value, e.U95 = &fed, &fed, &u95
	}
	e.Body = body(b)
	return e
}

func (c *check) verificationEntry(p pass, u95MM float64, held bool, with float64) routines.Entry {
	return c.passEntryWith("feed_verification", p, passBody{StepsPerMM: &with, Within: &held, WithinMM: &u95MM})
}

func (c *check) checkEntry(v verdict) routines.Entry {
	e := routines.Entry{Kind: "feed_check", Unit: "mm", Body: body(checkBody{Finding: v.Kind, Percent: v.Percent,
		U95Percent: v.U95Percent, CommandedMM: c.in.CommandedMM, Passes: v.Work.Passes, Gauge: c.work.Gauge.Name,
		RuleClass: c.work.Gauge.Class, Method: c.in.Method, Target: c.in.TargetPercent, StepsPerMM: c.oldSteps, Coverage: tidy(v.Budget.K), Budget: rows(v.Budget), Program: program})}
	if v.Work.Passes > 0 {
		e.Value, e.U95 = &v.FedMM, &v.Budget.U95
	}
	return e
}

func (c *check) stepsEntry(v verdict, next, u95 float64, w routines.Written) routines.Entry {
	return routines.Entry{Kind: "steps_per_mm", Value: &next, Unit: "steps/mm", U95: &u95, Standing: w.Standing,
		Body: body(stepsBody{Old: *c.oldSteps, New: next, Now: w.Value, Why: c.changeReason(v), NotWhy: w.Why, Said: w.Said,
			DoInstead: doInstead(w, *c.oldSteps, next), Gauge: c.work.Gauge.Name, Program: program})}
}

// body prints an entry's body. The types are this package's own and hold nothing that JSON cannot.
func body(v any) json.RawMessage {
	raw, err := json.Marshal(v)
	if err != nil {
		return nil
	}
	return raw
}

// rows are a budget's rows as a finding carries them.
func rows(b gauge.Budget) []routines.BudgetRow {
	var out []routines.BudgetRow
	for _, r := range b.Rows {
		row := routines.BudgetRow{Name: r.Name, Type: r.Type, Distribution: r.Distribution, Limit: tidy(r.Limit), U: tidy(r.U),
			Unit: r.Unit, Common: r.Common}
		if r.LimitUnit != r.Unit {
			row.LimitUnit = r.LimitUnit
		}
		out = append(out, row)
	}
	return out
}
