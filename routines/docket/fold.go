package docket

import (
	"math"
	"slices"

	"fettle/routines"
)

// Of folds the entries of one printer, oldest first, into the docket of a material with the setup in force.
func Of(printer string, entries []Entry, setup routines.Setup, material routines.Material) Docket {
	f := newFold(entries, setup, material)
	d := Docket{Printer: printer, SetupVersion: setup.Version, Material: material.ID, MaterialName: material.Name, Retracts: setup.Retracts, feed: f.feedChecks()}
	for _, k := range kinds {
		d.Rows = append(d.Rows, f.row(k))
	}
	d.againBy(f)
	d.HandedOver = f.handedOver(d)
	if d.HandedOver != nil {
		d.Active, d.Retracts = d.HandedOver.To, d.HandedOver.To
	}
	d.Due = Due(d)
	return d
}

type fold struct {
	entries  []Entry // those that a docket follows from
	changes  []change
	setup    routines.Setup
	material routines.Material
}

// A change is an entry with what it says was changed.
type change struct {
	Change
	entry Entry
}

// newFold sorts out once what every row looks at: most of a logbook is measurements that a docket does not follow from.
func newFold(entries []Entry, setup routines.Setup, material routines.Material) fold {
	f := fold{setup: setup, material: material}
	wanted := map[string]bool{}
	for _, name := range Kinds() {
		wanted[name] = true
	}
	for i := range entries {
		if !wanted[entries[i].Kind] {
			continue
		}
		f.entries = append(f.entries, entries[i])
		if c, ok := recorded(entries[i]); ok {
			f.changes = append(f.changes, change{c, entries[i]})
		}
	}
	return f
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
