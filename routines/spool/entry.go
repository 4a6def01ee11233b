package spool

import (
	"encoding/json"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/gauge"
)

// body is everything an entry rests on.
type body struct {
	Finding    string    `json:"finding"`
	ReadMM     []float64 `json:"read_mm"` // as they count
	Again      []reread  `json:"again,omitempty"`
	Strays     []int     `json:"strays,omitempty"`
	SpreadMM   float64   `json:"spread_mm"`
	OvalMM     float64   `json:"oval_mm"`
	SDMM       float64   `json:"sd_mm"` // of one place from the next
	SectionMM2 float64   `json:"section_mm2"`
	Places     int       `json:"places"`
	NominalMM  float64   `json:"nominal_mm"`
	Gauge      string    `json:"gauge"`
	DivisionMM *float64  `json:"division_mm,omitempty"` // of a gauge of one's own
	LimitMM    *float64  `json:"limit_mm,omitempty"`
	Spool      string    `json:"spool,omitempty"`
	Program    string    `json:"program"`
}

// entry keeps the mean: as the docket's value, unless it is of another size than the printer is fitted for.
func (s *spool) entry(v verdict) routines.Entry {
	mean, u95 := tidy(v.MeanMM), tidy(v.U95MM)
	e := routines.Entry{Kind: docket.FilamentDiameter, Value: &mean, Unit: "mm", U95: &u95}
	switch v.Kind {
	case Uneven:
		e.Standing = Uneven
	case WrongSize:
		e.Kind = kindWrongSize
	}
	raw, err := json.Marshal(body{Finding: v.Kind, ReadMM: s.readMM, Again: s.again, Strays: v.Strays, SpreadMM: tidy(v.SpreadMM), OvalMM: tidy(v.OvalMM),
		SDMM: tidy(v.SDMM), SectionMM2: tidy(v.SectionMM2), Places: v.Places, NominalMM: s.Setup.FilamentDiameterMM, Gauge: s.gauge.Name,
		DivisionMM: s.in.OwnDivisionMM, LimitMM: s.in.OwnLimitMM, Spool: s.in.Spool, Program: program})
	if err == nil { // it holds nothing that JSON cannot
		e.Body = raw
	}
	return e
}

// rows are a budget's rows as a finding carries them.
func rows(b gauge.Budget) []routines.BudgetRow {
	var out []routines.BudgetRow
	for _, r := range b.Rows {
		out = append(out, routines.BudgetRow{Name: r.Name, Type: r.Type, Distribution: r.Distribution, Limit: tidy(r.Limit), U: tidy(r.U),
			Unit: r.Unit, Common: r.Common})
	}
	return out
}
