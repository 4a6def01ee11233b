package docket

import (
	"fmt"
	"math"
	"slices"

	"fettle/routines"
	"fettle/routines/gauge"
)

// DriftOf charts the feed checks among the entries of one printer, oldest first; inForce is the version of its setup.
// Errors: *routines.FieldError for a setup that never was and a tolerance that cannot be asked about.
func DriftOf(printer string, entries []Entry, inForce int64, q DriftQuery) (Drift, error) {
	if q.Setup == 0 {
		q.Setup = inForce
	}
	if q.TolerancePercent == 0 {
		q.TolerancePercent = UsualTolerancePercent
	}
	if err := q.check(inForce); err != nil {
		return Drift{}, err
	}
	d := newFold(entries, routines.Setup{Version: inForce}, routines.Material{}).drift(q)
	d.Printer = printer
	return d, nil
}

func (q DriftQuery) check(inForce int64) error {
	if q.Setup < 1 || q.Setup > inForce {
		return &routines.FieldError{Field: "setup", Detail: fmt.Sprintf("is %d, which never was", q.Setup), Accept: fmt.Sprintf("1 to %d", inForce)}
	}
	if t := q.TolerancePercent; !(t >= leastTolerancePercent && t <= mostTolerancePercent) {
		return &routines.FieldError{Field: "tolerance_percent", Detail: "is " + plain(t),
			Accept: fmt.Sprintf("%g to %d %%", leastTolerancePercent, mostTolerancePercent)}
	}
	return nil
}

// drift is for a query that was checked.
func (f fold) drift(q DriftQuery) Drift {
	k, _ := kindNamed(StepsPerMM)
	d := Drift{SetupVersion: q.Setup, Material: q.Material, Setups: f.setupsChecked(q), Unit: k.unit, TolerancePercent: q.TolerancePercent,
		Checks: []DriftCheck{}, Splices: []Splice{}, Signals: []DriftSignal{}, Notes: []string{}}
	r := f.rowOf(q.Setup, q.Material, q.Setup == f.setup.Version)
	parts, splices := r.stretches()
	for i, part := range parts {
		d.chart(i, part)
	}
	if d.Splices = append(d.Splices, splices...); len(parts[len(parts)-1]) == 0 && len(splices) > 0 {
		d.Why = "nothing was checked since: " + splices[len(splices)-1].Text
	}
	if q.Setup != f.setup.Version {
		d.Again, d.Why = nil, "the printer is fitted otherwise by now"
	}
	d.Untimed, d.Unmeasured = r.untimed, r.unmeasured
	d.Notes = append(d.Notes, notesOn(r, parts[len(parts)-1])...)
	return d
}

// chart adds a stretch: what stood before it keeps its own chart, and what is known of the row as a whole is now of this one.
func (d *Drift) chart(stretch int, checks []DriftCheck) {
	row := charted(checks)
	centre := gauge.CentreOf(row)
	tolerance := centre * d.TolerancePercent / 100
	g := gauge.DriftOf(row, tolerance)
	first := len(d.Checks)
	for i := range checks {
		d.Checks = append(d.Checks, checks[i].on(g, i, stretch))
	}
	for _, s := range g.Signals {
		d.Signals = append(d.Signals, DriftSignal{Rule: s.Rule, Chart: chartOf(s.Rule), From: first + s.From, To: first + s.To, Side: s.Side})
	}
	d.Centre, d.Tolerance, d.PerDay, d.PerDayU95, d.Again, d.Why = nil, nil, nil, nil, nil, g.Why
	if len(checks) > 0 {
		d.Centre, d.Tolerance = number4(centre), number4(tolerance)
	}
	if g.SDPerDay > 0 {
		d.PerDay, d.PerDayU95 = number6(g.PerDay), number6(g.U95PerDay)
	}
	if g.Known {
		d.Again = &g.Again
	}
}

// on places a check in the chart of its stretch.
func (c DriftCheck) on(g gauge.Drift, i, stretch int) DriftCheck {
	p, average := g.Points[i], g.Average[i]
	c.EWMA, c.Stretch = rounded(average.Shown), stretch
	if len(g.Points) > 1 {
		c.Low, c.High = number4(p.Low), number4(p.High)
		c.EWMALow, c.EWMAHigh = number4(average.Low), number4(average.High)
	}
	return c
}

// setupsChecked counts the checks that can be charted, by the setup they were made with.
func (f fold) setupsChecked(q DriftQuery) []SetupChecks {
	counts := map[int64]int{q.Setup: 0}
	for i := range f.entries {
		e := &f.entries[i]
		if e.Kind != kindCheck || e.Setup < 1 || q.Material != "" && e.Material != q.Material {
			continue
		}
		if _, measured := measuredOf(*e); measured {
			counts[e.Setup]++
		}
	}
	var out []SetupChecks
	for version, n := range counts {
		out = append(out, SetupChecks{version, n})
	}
	slices.SortFunc(out, func(a, b SetupChecks) int { return int(a.Version - b.Version) })
	return out
}

// number4 is a number with the decimals that a firmware keeps of steps/mm; number6 one of them a day.
func number4(x float64) *float64 { x = rounded(x); return &x }
func number6(x float64) *float64 { x = math.Round(x*1e6) / 1e6; return &x }
