package docket

import (
	"encoding/json"
	"math"
	"slices"
	"time"

	"fettle/routines/gauge"
)

// checkedBody is what the entry of a feed check says that its steps/mm follow from.
type checkedBody struct {
	Finding     string   `json:"finding"`
	CommandedMM float64  `json:"commanded_mm"`
	Steps       *float64 `json:"measured_with_steps_per_mm"`
	Method      string   `json:"method"`
	Gauge       string   `json:"gauge"`
}

// measuredOf is the steps/mm that a feed check measured, whatever it found: those it was made with, times what was commanded
// over what was fed. A part of the fed length is the same part of the steps/mm, to first order, so the uncertainties are of
// one proportion. False where nothing was read, where a length is only a bound, and for a printer that does not tell its own.
func measuredOf(e Entry) (DriftCheck, bool) {
	var body checkedBody
	if len(e.Body) == 0 || json.Unmarshal(e.Body, &body) != nil || body.Steps == nil || e.Value == nil || e.U95 == nil {
		return DriftCheck{}, false
	}
	value := *body.Steps * body.CommandedMM / *e.Value
	c := DriftCheck{Entry: e.ID, Run: e.Run, At: dated(e), Value: rounded(value), U95: rounded(value * *e.U95 / *e.Value), Finding: body.Finding,
		Material: e.Material, Method: body.Method, Gauge: body.Gauge}
	return c, c.Value > 0 && c.U95 > 0 && !math.IsInf(c.Value, 1) && !math.IsInf(c.U95, 1)
}

// A row is the checks that are looked at, and what was changed between them, both in the order of the logbook.
type row struct {
	checks              []DriftCheck
	changes             []change
	untimed, unmeasured int
}

// rowOf sorts out the checks with a setup, of a material or of all. newest says that nothing but this setup came after.
func (f fold) rowOf(setup int64, material string, newest bool) row {
	var r row
	last := int64(0)
	for i := range f.entries {
		e := &f.entries[i]
		if e.Kind != kindCheck || e.Setup != setup || material != "" && e.Material != material {
			continue
		}
		last = e.ID
		r.take(*e)
	}
	for _, c := range f.changes {
		if slices.Contains(c.stages, atFeed) && (newest || c.entry.ID < last) {
			r.changes = append(r.changes, c)
		}
	}
	return r
}

// take counts what cannot be charted, and what has no time.
func (r *row) take(e Entry) {
	c, measured := measuredOf(e)
	if !measured {
		r.unmeasured++
		return
	}
	if c.At == nil {
		r.untimed++
	}
	r.checks = append(r.checks, c)
}

// stretches parts the checks at the changes between them, and says where those stand. Changes before the first check part
// nothing; the last stretch is empty where nothing was checked since the last change.
func (r row) stretches() (parts [][]DriftCheck, splices []Splice) {
	rest, done := r.checks, 0
	for _, c := range r.changes {
		n := 0
		for n < len(rest) && rest[n].Entry < c.entry.ID {
			n++
		}
		if n > 0 {
			parts, rest = append(parts, rest[:n:n]), rest[n:]
			done += n
		}
		if done > 0 {
			splices = append(splices, c.splice(done))
		}
	}
	return append(parts, rest), splices
}

func (c change) splice(before int) Splice {
	return Splice{Before: before, Entry: c.entry.ID, At: dated(c.entry), What: c.What, Text: c.Label}
}

// dated is when an entry was made, or nil where nobody vouches for it.
func dated(e Entry) *time.Time {
	if e.Undated {
		return nil
	}
	return &e.At
}

// charted is a stretch as the gauge's charts take it.
func charted(stretch []DriftCheck) []gauge.Check {
	checks := make([]gauge.Check, len(stretch))
	for i, c := range stretch {
		checks[i] = gauge.Check{Value: c.Value, U95: c.U95}
		if c.At != nil {
			checks[i].At = *c.At
		}
	}
	return checks
}
