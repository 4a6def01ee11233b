package docket

import "time"

// againBy says on the row of the steps/mm by when the feed is to be checked again, where the checks with this setup have
// earned such a day: by the usual tolerance, with whatever material they were made.
func (d *Docket) againBy(f fold) {
	r := d.Row(StepsPerMM)
	parts, _ := f.rowOf(f.setup.Version, "", true).stretches()
	newest := Drift{TolerancePercent: UsualTolerancePercent}
	newest.chart(0, parts[len(parts)-1])
	if r.AgainBy = newest.Again; r.AgainBy != nil {
		r.againWhy = newest.Why
	}
}

// By is the docket as it is read at a moment: what is to be done again by a day that has passed is due. The docket itself
// knows no clock. The row stays fresh: nothing is known against the value, but that it was not looked at for long.
func (d Docket) By(now time.Time) Docket {
	r := d.Row(StepsPerMM)
	if r == nil || r.AgainBy == nil || now.Before(*r.AgainBy) || len(d.Due) > 0 && d.Due[0].Do == DoFeed {
		return d
	}
	d.Due = append([]Step{{DoFeed, r.byDay() + ": " + r.againWhy}}, d.Due...)
	return d
}

// byDay is the day of AgainBy in words.
func (r Row) byDay() string { return "check again by " + r.AgainBy.UTC().Format(time.DateOnly) }
