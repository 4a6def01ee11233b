package feed

import (
	"fmt"
	"math"

	"fettle/routines"
)

// proof is the pass after a change: with what value, how it stands in the printer, and whether it was borne out.
type proof struct {
	pass  pass
	with  routines.Written
	u95MM float64
	held  bool
}

// addTo puts the pass after the change into the finding. A value that it does not bear out is no longer advised: the
// headline says where that value is now, and the reason for it becomes a note.
func (pr proof) addTo(f routines.Finding, commandedMM float64) routines.Finding {
	fed, read := pr.pass.fedMM()
	if read {
		f.Values = append(f.Values, routines.Value{Name: "verified_fed_mm", Unit: "mm", Value: fed, U95: &pr.u95MM})
	}
	if pr.held {
		f.Notes = append(f.Notes, fmt.Sprintf("A pass with the new value fed %s of %s, within %s.",
			unitAsSure(fed, pr.u95MM), unit(commandedMM, "mm"), plusMinus(pr.u95MM, "mm")))
		return f
	}
	f.Notes = append([]string{"It was changed because of this: " + f.Reason}, f.Notes...)
	f.Notes = append(f.Notes, "Look at the gear's pressure and the path of the filament, then do another check before you rely on it.")
	f.Kind, f.Headline, f.Reason = NotHeld, pr.headline(), pr.reason(commandedMM)
	return f
}

func (pr proof) headline() string {
	stands := "written"
	switch pr.with.Standing {
	case routines.Verified:
		stands = "stored"
	case routines.NotStored:
		stands = "in use"
	}
	return fmt.Sprintf("%s is %s, but did not hold", steps(pr.with.Value), stands)
}

func (pr proof) reason(commandedMM float64) string {
	fed, read := pr.pass.fedMM()
	switch {
	case read:
		return fmt.Sprintf("A pass with it fed %s of %s, which is %s off and more than %s.", unitAsSure(fed, pr.u95MM),
			unit(commandedMM, "mm"), unitAsSure(math.Abs(fed-commandedMM), pr.u95MM), plusMinus(pr.u95MM, "mm"))
	case pr.pass.Instead == markWentIn:
		return fmt.Sprintf("A pass with it fed more than %s of %s: the mark went in.", unit(pr.pass.MarkMM, "mm"), unit(commandedMM, "mm"))
	case pr.pass.Instead == cameOut:
		return "In a pass with it filament came out of the inlet instead of going in."
	}
	return "The pass with it could not be done: by the printer's own reading the nozzle was too cold."
}
