package docket

import (
	"encoding/json"
	"math"
	"slices"

	"fettle/routines"
)

// Of folds the entries of one printer, oldest first, into the docket of a material with the setup in force.
func Of(printer string, entries []Entry, setup routines.Setup, material routines.Material) Docket {
	f := fold{entries: entries, setup: setup, material: material}
	d := Docket{Printer: printer, SetupVersion: setup.Version, Material: material.ID, MaterialName: material.Name, Retracts: setup.Retracts, feed: f.feedChecks()}
	for _, k := range kinds {
		d.Rows = append(d.Rows, f.row(k))
	}
	d.HandedOver = f.handedOver(d)
	if d.HandedOver != nil {
		d.Active, d.Retracts = d.HandedOver.To, d.HandedOver.To
	}
	d.Due = Due(d)
	return d
}

type fold struct {
	entries  []Entry
	setup    routines.Setup
	material routines.Material
}

// row is the newest value of a kind, with all that is known of it.
func (f fold) row(k kind) Row {
	r := Row{Kind: k.name, Label: k.label, Unit: k.unit, Stale: []Why{}, Earlier: []Earlier{}}
	if k.limits != nil {
		l := k.limits(f.setup, f.material)
		r.Typed = &l
	}
	line := f.line(k)
	if len(line) == 0 {
		f.assume(k, &r)
		return r
	}
	last := len(line) - 1
	now := line[last]
	r.Value, r.U95, r.Standing, r.From = now.Value, now.U95, now.Standing, f.origin(k, now)
	r.Stale = f.stale(k, f.root(now))
	if r.Fresh = len(r.Stale) == 0; !r.Fresh {
		r.Again = again[k.stage]
	}
	if k.name != StepsPerMM { // what the printer itself has is written and proved by the feed check alone
		r.Earlier = f.earlier(k, line[:last], f.root(now).ID)
	}
	return r
}

// assume fills a row that has no entry.
func (f fold) assume(k kind, r *Row) {
	r.From = Origin{Source: Unknown, How: "not known yet"}
	if k.assume == nil {
		if k.stage != atAnyTime {
			r.Again = again[k.stage]
		}
		return
	}
	value, source := k.assume(f.setup, f.material)
	r.Value, r.Fresh = &value, true
	r.From = Origin{Source: source, How: assumedHow[source]}
}

var assumedHow = map[string]string{ // does not change
	CommonPractice: "common practice, not measured", OfSetup: "as the setup says", OfDataSheet: "by the material's data sheet",
}

// line is the values that a row has had, oldest first.
func (f fold) line(k kind) []Entry {
	var out []Entry
	for _, e := range f.entries {
		if !k.ofPrinter && e.Material != f.material.ID || e.Standing == routines.NotWritten {
			continue
		}
		if k.name == StepsPerMM && e.Kind == kindCheck {
			if steps, ok := proved(e); ok {
				out = append(out, steps)
			}
		} else if e.Kind == k.name && e.Value != nil {
			out = append(out, e)
		}
	}
	return out
}

// proved is the steps/mm that a feed check found to be right.
func proved(check Entry) (Entry, bool) {
	var body struct {
		Finding string   `json:"finding"`
		Steps   *float64 `json:"measured_with_steps_per_mm"`
		Percent float64  `json:"u95_percent"`
	}
	if json.Unmarshal(check.Body, &body) != nil || body.Finding != "leave" || body.Steps == nil {
		return Entry{}, false
	}
	check.Value, check.Unit, check.U95 = body.Steps, "steps/mm", nil
	if body.Percent > 0 {
		u95 := rounded(*body.Steps * body.Percent / 100)
		check.U95 = &u95
	}
	return check, true
}

// feedChecks is what a printer that does not tell its steps/mm is known by: it has nothing that a check could prove.
type feedChecks struct {
	any     bool
	decided bool // the last one, and nothing was changed since that would make it stale
}

func (f fold) feedChecks() (c feedChecks) {
	for _, e := range f.entries {
		if change, ok := recorded(e); ok && e.Kind == KindChange && slices.Contains(change.stages, atFeed) {
			c.decided = false
		}
		var body struct {
			Finding string `json:"finding"`
		}
		if e.Kind == kindCheck && json.Unmarshal(e.Body, &body) == nil {
			c.any, c.decided = true, body.Finding == "change" || body.Finding == "leave"
		}
	}
	return c
}

// ValueBody is what the entry of a value holds that no run found.
type ValueBody struct {
	How  string `json:"how"`          // Typed or Reverted
	Of   int64  `json:"of,omitempty"` // the entry that holds again
	Note string `json:"note,omitempty"`
}

func bodyOf(e Entry) (b ValueBody) {
	if e.Run != "" || json.Unmarshal(e.Body, &b) != nil {
		return ValueBody{}
	}
	return b
}

// root is the entry by which a value was found: a value that holds again is as old as it was then.
func (f fold) root(e Entry) Entry {
	for bodyOf(e).How == Reverted {
		of := bodyOf(e).Of
		i := slices.IndexFunc(f.entries, func(o Entry) bool { return o.ID == of })
		if i < 0 || of >= e.ID { // only ever backwards
			break
		}
		e = f.entries[i]
	}
	return e
}

// earlier lists the values that a row had, newest first; each found value once, and not the one that holds.
func (f fold) earlier(k kind, before []Entry, holds int64) []Earlier {
	out := []Earlier{}
	for _, e := range slices.Backward(before) {
		if e.ID == holds || bodyOf(e).How == Reverted {
			continue
		}
		out = append(out, Earlier{Entry: e.ID, Value: *e.Value, U95: e.U95, Standing: e.Standing, How: f.origin(k, e).How, At: e.At})
	}
	return out
}

func rounded(x float64) float64 { return math.Round(x*10_000) / 10_000 }
