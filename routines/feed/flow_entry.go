package feed

import (
	"fettle/routines"
	"fettle/routines/gauge"
)

// blockBody is everything a block rests on.
type blockBody struct {
	block
	Part        *float64   `json:"fed_part,omitempty"`
	PartU       float64    `json:"fed_part_u,omitempty"` // one standard uncertainty
	CommandedMM float64    `json:"commanded_mm"`
	TargetC     float64    `json:"target_c"`
	AreaMM2     float64    `json:"filament_area_mm2"`
	Limit       speedLimit `json:"speed_limit"`
	Gauge       string     `json:"gauge"`
	Program     string     `json:"program"`
}

func (f *flow) blockEntry(b block) routines.Entry {
	open := blockBody{block: b, CommandedMM: f.in.BlockMM, TargetC: f.nozzleC, AreaMM2: tidy(f.areaMM2), Limit: f.limit,
		Gauge: f.gauge.Name, Program: flowProgram}
	e := routines.Entry{Kind: "flow_block", Unit: "mm"}
	if fed, read := b.fedMM(); read {
		part, _ := b.part()
		part = tidy(part)
		sd := blockSD(f.gauge, b.Done.CommandedMM)
		u95 := tidy(gauge.CoverageFactor * sd * b.Done.CommandedMM)
		open.Part, open.PartU, e.Value, e.U95 = &part, tidy(sd), &fed, &u95
	}
	e.Body = body(open)
	return e
}

// limitBody is what a flow limit rests on.
type limitBody struct {
	Finding          string     `json:"finding"`
	LimitMM3PerS     float64    `json:"falls_at_mm3_per_s,omitempty"`
	LowMM3PerS       float64    `json:"from_mm3_per_s,omitempty"`
	HighMM3PerS      float64    `json:"to_mm3_per_s,omitempty"`
	Share            float64    `json:"working_share,omitempty"` // the entry's value over falls_at
	TolerancePercent float64    `json:"tolerance_percent"`
	ByEar            bool       `json:"by_ear,omitempty"`
	ShortPercent     float64    `json:"short_percent"`
	ShortU95Percent  float64    `json:"short_u95_percent"`
	Cause            string     `json:"cause,omitempty"`
	Bite             string     `json:"bite,omitempty"`
	NozzleC          float64    `json:"nozzle_c"`
	AreaMM2          float64    `json:"filament_area_mm2"`
	SkippedMM3PerS   []float64  `json:"skipped_mm3_per_s,omitempty"`
	Read             []readFlow `json:"read"`
	Gauge            string     `json:"gauge"`
	Program          string     `json:"program"`
}

func (f *flow) limitBody(k found, finding string) limitBody {
	b := limitBody{Finding: finding, TolerancePercent: f.in.TolerancePercent, ShortPercent: tidy(100 * k.Short), ShortU95Percent: tidy(100 * k.ShortU95),
		NozzleC: f.nozzleC, AreaMM2: tidy(f.areaMM2), SkippedMM3PerS: f.skipped, Read: f.shown().Read, Gauge: f.gauge.Name, Program: flowProgram}
	if k.Is {
		b.LimitMM3PerS, b.LowMM3PerS, b.HighMM3PerS, b.ByEar = k.LimitMM3PerS, k.LowMM3PerS, k.HighMM3PerS, k.ByEar
	}
	return b
}

// limitEntry is the value that the docket works with, and hands over.
func (f *flow) limitEntry(k found) routines.Entry {
	value, u95 := tidy(workingShare*k.LimitMM3PerS), tidy(workingShare*k.half())
	b := f.limitBody(k, FlowFound)
	b.Share = workingShare
	return routines.Entry{Kind: kindFlowLimit, Value: &value, U95: &u95, Unit: "mm³/s", Body: body(b)}
}

// shortEntry keeps what was seen of a fault, as no value of the docket.
func (f *flow) shortEntry(k found, cause, bite string) routines.Entry {
	b := f.limitBody(k, FlowShort)
	b.Cause, b.Bite = cause, bite
	short, u95 := tidy(100*k.Short), tidy(100*k.ShortU95)
	return routines.Entry{Kind: "flow_short", Value: &short, U95: &u95, Unit: "%", Body: body(b)}
}

// nozzleEntry keeps the temperature that the limit holds at, where the docket has another.
func (f *flow) nozzleEntry() (routines.Entry, bool) {
	held := f.nozzleC
	return routines.Entry{Kind: kindNozzleC, Value: &held, Unit: "°C"}, held != recorded(f.Begin, kindNozzleC, f.Material.NozzleC)
}
