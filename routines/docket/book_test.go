package docket_test

import (
	"encoding/json"
	"testing"
	"time"

	"fettle/routines"
	"fettle/routines/docket"
)

// book is a logbook in the making: entries of one printer, numbered as they come.
type book struct {
	entries []docket.Entry
	setup   routines.Setup
	plum    routines.Material
}

var begin = time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC) // does not change

func newBook() *book {
	return &book{setup: fitted(), plum: plum()}
}

func fitted() routines.Setup {
	return routines.Setup{Version: 2, Drive: "direct", FilamentDiameterMM: 1.75, NozzleBoreMM: 0.4, Liner: "all_metal", NozzleMaxC: 280, BedMaxC: 100, FeedMaxMMPerS: 60}
}

// plum is invented demo data.
func plum() routines.Material {
	return routines.Material{ID: "plum-pla", Name: "Plum PLA (invented)", NozzleC: 210, NozzleMinC: 190, NozzleMaxC: 230, BedC: 60, Invented: true}
}

func (b *book) add(e docket.Entry) int64 {
	e.ID = int64(len(b.entries) + 1)
	e.At = begin.Add(time.Duration(e.ID) * time.Minute)
	b.entries = append(b.entries, e)
	return e.ID
}

// found is a value that a run recorded; for the printer's own the material is of no account.
func (b *book) found(kind string, value, u95 float64, unit, run string) int64 {
	e := docket.Entry{Material: b.plum.ID, Run: run, Who: "Ann", Setup: 2, Entry: routines.Entry{Kind: kind, Value: &value, Unit: unit}}
	if u95 > 0 {
		e.U95 = &u95
	}
	return b.add(e)
}

func (b *book) typed(kind string, value float64) int64 {
	return b.add(docket.Entry{Material: b.plum.ID, Who: "Ann", Entry: routines.Entry{Kind: kind, Value: &value, Body: raw(docket.ValueBody{How: docket.Typed})}})
}

func (b *book) changed(what, material string) int64 {
	return b.add(docket.Entry{Material: material, Who: "Ann", Entry: routines.Entry{Kind: docket.KindChange, Body: raw(docket.ChangeBody{What: what})}})
}

// reverted does what the runner does for a person who goes back.
func (b *book) reverted(t testing.TB, entry int64) {
	t.Helper()
	row, was, err := b.docket().Reverting(entry)
	if err != nil {
		t.Fatal(err)
	}
	value := was.Value
	b.add(docket.Entry{Material: b.plum.ID, Who: "Bob", Entry: routines.Entry{Kind: row.Kind, Value: &value, U95: was.U95, Standing: was.Standing,
		Body: raw(docket.ValueBody{How: docket.Reverted, Of: entry})}})
}

func (b *book) handedTo(to, standing, material string) int64 {
	h := docket.HandoverBody{To: to, Values: b.docket().For(to)}
	if to == docket.Firmware {
		h.Take(report(asFound...))
	}
	return b.add(docket.Entry{Material: material, Who: "Ann", Entry: routines.Entry{Kind: docket.KindHandover, Standing: standing, Body: raw(h)}})
}

func (b *book) docket() docket.Docket { return docket.Of("p1", b.entries, b.setup, b.plum) }

// tuned is a book in which every stage of the work has its value.
func tuned() *book {
	b := newBook()
	b.found(docket.StepsPerMM, 95.88, 0.4, "steps/mm", "r1")
	b.typed(docket.FilamentDiameter, 1.74)
	b.typed(docket.NozzleC, 205)
	b.typed(docket.FanPercent, 40)
	b.typed(docket.PressureCompensation, 0.05)
	b.found(docket.FlowFactor, 0.98, 0.01, "1", "r2")
	b.found(docket.FlowLimit, 9.2, 0.5, "mm³/s", "r2")
	b.found(docket.TravelSpeed, 175, 0, "mm/s", "r3")
	b.found(docket.RetractSpeed, 35, 0, "mm/s", "r4")
	b.found(docket.RestartSpeed, 35, 0, "mm/s", "r4")
	b.found(docket.RetractionLength, 0.8, 0.1, "mm", "r4")
	return b
}

func raw(v any) json.RawMessage {
	out, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return out
}

func staleKinds(d docket.Docket) []string {
	out := []string{}
	for _, r := range d.Rows {
		if len(r.Stale) > 0 {
			out = append(out, r.Kind)
		}
	}
	return out
}
