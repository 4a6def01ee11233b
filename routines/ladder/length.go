package ladder

import (
	"fettle/routines"
	"fettle/routines/rung"
)

// length climbs for the retraction length: print, judge, choose, until a piece of nothing else confirms it or no length
// serves.
func (l *ladder) length() (routines.Finding, error) {
	for {
		next := rung.Choose(l.lengthStart(), l.prints())
		if next.Do != rung.DoPrint && next.Do != rung.DoConfirm {
			return l.lengthFound(next)
		}
		again, err := l.print(wanted{values: next.LengthsMM, confirming: next.Do == rung.DoConfirm, low: next.LowMM, high: next.HighMM, left: next.PrintsLeft, why: next.Why})
		if err != nil {
			return routines.Finding{}, err
		}
		if !again {
			return l.later(next.Why), nil
		}
	}
}

// lengthStart is what is known before the first piece. An override of the ceiling is the person's own, and on record.
func (l *ladder) lengthStart() rung.Start {
	s := startOf(l.Begin)
	if l.in.PastCeilingMM != nil {
		s.CeilingMM = *l.in.PastCeilingMM
	}
	return rung.Start{LikelyMM: s.MM, CeilingMM: s.CeilingMM, CommonMM: s.CommonMM, Tube: l.Setup.Drive == "bowden", FilamentMM: l.Setup.FilamentDiameterMM}
}
