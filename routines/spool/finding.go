package spool

import (
	"fmt"
	"math"
	"strings"

	"fettle/routines"
	"fettle/routines/docket"
)

// conclude says what the readings came to, and keeps it.
func (s *spool) conclude() routines.Finding {
	v := s.judge()
	s.Record(s.entry(v))
	f := routines.Finding{Kind: v.Kind, Values: v.values(), Budget: rows(v.Budget)}
	switch v.Kind {
	case WrongSize:
		f.Headline, f.Reason, f.Notes = s.wrongSize(v)
	case Uneven:
		f.Headline, f.Reason, f.Notes = "This spool is uneven", s.unevenReason(v), s.unevenNotes(v)
	default:
		f.Headline, f.Reason, f.Notes = "The filament is "+asSure(v.MeanMM, v.U95MM)+"\u00a0mm", v.reason(), []string{s.against(v)}
	}
	f.Notes = append(f.Notes, s.slipNotes(v)...)
	f.Notes = append(f.Notes, v.largest())
	return f
}

func (v verdict) values() []routines.Value {
	u95, section := tidy(v.U95MM), tidy(v.SectionU95)
	return []routines.Value{
		{Name: docket.FilamentDiameter, Unit: "mm", Value: tidy(v.MeanMM), U95: &u95},
		{Name: "spread_mm", Unit: "mm", Value: tidy(v.SpreadMM)},
		{Name: "oval_mm", Unit: "mm", Value: tidy(v.OvalMM)},
		{Name: "section_mm2", Unit: "mm²", Value: tidy(v.SectionMM2), U95: &section},
	}
}

func (v verdict) reason() string {
	return fmt.Sprintf("It is %s at 95 %%; its %d places lie between %s and %s.", measured(v.MeanMM, v.U95MM), v.Places, number(v.LowMM), unit(v.HighMM))
}

// against says what the mean makes of the section, beside the diameter that is fitted.
func (s *spool) against(v verdict) string {
	nominal := s.Setup.FilamentDiameterMM
	if math.Abs(v.MeanMM-nominal) <= v.U95MM {
		return fmt.Sprintf("It cannot be told from the %s of the setup. Pieces and flow reckon with what was measured all the same.", unit(nominal))
	}
	more := 100 * (math.Pow(v.MeanMM/nominal, 2) - 1)
	than := "more"
	if more < 0 {
		than = "less"
	}
	return fmt.Sprintf("Each millimetre of it is %.1f\u00a0%% %s plastic than one of %s: pieces and flow reckon with that. Steps/mm stay as they are.",
		math.Abs(more), than, unit(nominal))
}

func (s *spool) wrongSize(v verdict) (headline, reason string, notes []string) {
	nominal := s.Setup.FilamentDiameterMM
	reason = fmt.Sprintf("It measures %s, and the printer is fitted for %s.", measured(v.MeanMM, v.U95MM), unit(nominal))
	keeps := "It is not recorded as the diameter of this material."
	if size, known := sizeOf(v.MeanMM); known {
		return "This is filament of " + unit(size), reason, []string{keeps, "Do not load it. Where the printer is fitted for it after all, say so in the setup and measure again."}
	}
	return "This is no filament of " + unit(nominal), reason, []string{keeps, "See that the caliper shows zero when it is closed, and millimetres."}
}

func (s *spool) unevenReason(v verdict) string {
	most := unit(tidy(unevenPart * s.Setup.FilamentDiameterMM))
	var why []string
	if s.tooWide(v.SpreadMM - s.gauge.DivisionMM) {
		why = append(why, fmt.Sprintf("Its places lie between %s and %s.", number(v.LowMM), unit(v.HighMM)))
	}
	if s.tooWide(v.OvalMM) {
		why = append(why, fmt.Sprintf("It is wider one way than across it by %s.", unit(v.OvalMM)))
	}
	return strings.Join(why, " ") + fmt.Sprintf(" Usable is up to %s (common practice, no source).", most)
}

func (s *spool) unevenNotes(v verdict) []string {
	sway := 100 * 2 * v.SpreadMM / v.MeanMM
	return []string{
		fmt.Sprintf("Along its way the plastic in each millimetre differs by %.0f\u00a0%%, whatever is set. Take another spool for what is to be exact.", sway),
		fmt.Sprintf("Its mean, %s, is recorded all the same, as uneven: there is no better number of this spool.", measured(v.MeanMM, v.U95MM)),
	}
}

// slipNotes name every reading that looked like a slip. None was dropped.
func (s *spool) slipNotes(v verdict) []string {
	var out []string
	for _, a := range s.again {
		out = append(out, fmt.Sprintf("Reading %d was %s, far from all others; read again it was %s, which counts.", a.Reading, unit(a.FirstMM), unit(s.readMM[a.Reading-1])))
	}
	for _, n := range v.Strays {
		out = append(out, fmt.Sprintf("Reading %d, %s, is far from all others and counts like them: look at the filament there, and begin anew if it slipped.", n, unit(s.readMM[n-1])))
	}
	return out
}

// largest names the largest part of the uncertainty, and what would lessen it.
func (v verdict) largest() string {
	l := v.Budget.Largest()
	if l.Common {
		return fmt.Sprintf("The largest part of ± is the %s: only a better gauge lessens it, more readings do not.", l.Name)
	}
	return fmt.Sprintf("The largest part of ± is the %s; more places lessen it.", l.Name)
}
