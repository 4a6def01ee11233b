package ladder

import (
	"encoding/json"
	"fmt"
	"math"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/melt"
	"fettle/routines/rung"
)

// What a ladder can find, beside what routines/rung names.
const (
	Found = "found"
	Later = "later"
)

// later ends a run whose ladder goes on another day.
func (l *ladder) later(why string) routines.Finding {
	return routines.Finding{Kind: Later, Headline: "To be continued", Reason: why, Values: l.tally(),
		Notes: []string{"The next run of this ladder goes on from here, on any phone."}}
}

// lengthFound says what came of the retraction ladder, and keeps it.
func (l *ladder) lengthFound(next rung.Next) (routines.Finding, error) {
	f := routines.Finding{Kind: next.Do, Reason: next.Why, Values: l.tally()}
	switch next.Do {
	case rung.DoTake:
		f.Kind, f.Headline = Found, fmt.Sprintf("Retract %g mm", next.ValueMM)
		f.Values = append([]routines.Value{{Name: docket.RetractionLength, Unit: "mm", Value: next.ValueMM},
			{Name: "from_mm", Unit: "mm", Value: next.LowMM}, {Name: "to_mm", Unit: "mm", Value: next.HighMM}}, f.Values...)
		f.Notes = l.heldNotes(next.ValueMM)
		return f, l.keep(docket.RetractionLength, next.ValueMM, "mm")
	case rung.DoNone:
		f.Headline = "No length serves"
		f.Notes = []string{"Where strings are gone there are voids at the restarts. Restart faster or print slower, or 5 to 10 °C cooler; then this ladder again."}
	case rung.DoDamp:
		f.Headline = "No length serves: damp, or too hot"
		f.Notes = []string{"Strings stay whatever the length. Dry the filament, or go 5 to 10 °C cooler within the maker's data sheet; then this ladder again."}
	case rung.DoNotReached:
		f.Headline = "Not reached below the ceiling"
		f.Notes = []string{"Strings still thin out at the longest length. Print slower or cooler, clip loose couplers; or lift the ceiling yourself, watching for clicks."}
	case rung.DoHotEnd:
		f.Headline = "Mend the hot end first"
		f.Notes = []string{"Ground filament, clicking or a clog point at the hot end and the drive, not at the length. Clean the nozzle and the gear; look at the idler."}
	default:
		f.Headline = "The grades do not agree"
		f.Notes = []string{"Grade in better light, with dark cloth behind, or let one person grade all pieces."}
	}
	return f, l.note(kindEnded, endedBody{l.kind, f.Kind})
}

// travelFound says what came of the travel ladder, and keeps it.
func (l *ladder) travelFound(enough, steady float64) (routines.Finding, error) {
	if steady == 0 {
		f := routines.Finding{Kind: rung.DoCannotTell, Headline: "No band could be judged", Values: l.tally(),
			Reason: fmt.Sprintf("%g mm/s would be enough, and the piece does not show whether the machine holds it.", enough),
			Notes:  []string{"Find out why layers shifted or the piece came loose: belts, screws, bed, first layer. Then this ladder again."}}
		return f, l.note(kindEnded, endedBody{l.kind, f.Kind})
	}
	f := routines.Finding{Kind: Found, Headline: fmt.Sprintf("Travel at %g mm/s", steady), Values: append([]routines.Value{{Name: docket.TravelSpeed, Unit: "mm/s", Value: steady}}, l.tally()...),
		Reason: fmt.Sprintf("It is the slowest step within 3 %% of the shortest time over %g mm at %g mm/s².", l.in.LongestMM, l.limits.travelAccel())}
	switch {
	case steady == enough:
	case shows(l.past.judged, enough):
		f.Reason = fmt.Sprintf("%g mm/s would be fast enough, and the piece looks worse above %g.", enough, steady)
	default:
		f.Reason = fmt.Sprintf("%g mm/s would be fast enough, and no piece was whole that far; %g is the fastest that one showed.", enough, steady)
	}
	f.Notes = []string{"Once retraction does its work, travel speed is hard to see by eye: faster gains time, and few strings less."}
	if l.limits.Assumed {
		f.Notes = append(f.Notes, "This printer does not tell all of its speeds and accelerations; careful guesses stood in for them.")
	}
	return f, l.keep(docket.TravelSpeed, steady, "mm/s")
}

// keep records the value that was found, and what was held when it was.
func (l *ladder) keep(kind string, value float64, unit string) error {
	type rests struct {
		Held    held    `json:"held"`
		Pieces  int     `json:"pieces"`
		Program string  `json:"program"`
		Ceiling float64 `json:"ceiling_mm,omitempty"` // lifted by the person
		Without bool    `json:"without_feed_check,omitempty"`
		Damp    bool    `json:"damp_anyway,omitempty"`
	}
	r := rests{Held: l.held, Pieces: len(l.past.judged), Program: l.program(), Without: l.in.WithoutFeedCheck, Damp: l.in.DampAnyway}
	if l.in.PastCeilingMM != nil {
		r.Ceiling = *l.in.PastCeilingMM
	}
	raw, err := json.Marshal(r)
	if err != nil {
		return fmt.Errorf("print what the value rests on: %w", err)
	}
	l.Record(routines.Entry{Kind: kind, Value: &value, Unit: unit, Body: raw})
	for _, h := range []struct {
		kind, unit string
		value      float64
	}{{docket.NozzleC, "°C", l.held.NozzleC}, {docket.BedC, "°C", l.held.BedC}, {docket.FanPercent, "%", l.held.FanPercent},
		{docket.RetractSpeed, "mm/s", l.held.RetractMMPerS}, {docket.RestartSpeed, "mm/s", l.held.RestartMMPerS}} {
		if row := l.docket.Row(h.kind); row != nil && row.From.Entry != 0 && *row.Value == h.value {
			continue // the docket has it, and where it came from
		}
		l.Record(routines.Entry{Kind: h.kind, Value: &h.value, Unit: h.unit})
	}
	return nil
}

// heldNotes say under what the length was found, and what there is to know about its stroke.
func (l *ladder) heldNotes(lengthMM float64) []string {
	h := l.held
	notes := []string{fmt.Sprintf("It holds at %g °C, %g mm³/s, travel %g mm/s, strokes of %g and %g mm/s, fan %g %%.", h.NozzleC,
		hundredths(h.flowMM3PerS()), h.TravelMMPerS, h.RetractMMPerS, h.RestartMMPerS, h.FanPercent)}
	useful := melt.UsefulSpeedMMPerS(lengthMM, math.Min(l.limits.RetractAccel, l.limits.MaxAccelMMPerS2[3]))
	if useful < h.RetractMMPerS && !l.limits.Assumed {
		notes = append(notes, fmt.Sprintf("A stroke of %g mm never gets faster than %.0f mm/s on this machine; a higher retract speed changes nothing.", lengthMM, useful))
	}
	return append(notes, "Hand it over to whichever retracts in your own prints: the firmware or the slicing program.")
}

// tally is how many pieces were judged, and what they took.
func (l *ladder) tally() []routines.Value {
	return []routines.Value{{Name: "pieces", Unit: "1", Value: float64(len(l.past.judged))}}
}
