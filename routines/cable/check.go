// Package cable holds the routine about the cable between agent and printer: whether lines by the thousand arrive whole
// and in time.
//
// Owns: the cable check as a procedure, the harmless program it sends, its arithmetic and its words.
// Guarantees: nothing heats and nothing moves; what it says of longer pieces follows from what was counted, with the few
// lines it was counted on allowed for.
// Does not do: send, count or resend a line; serialio does, and says how often.
// Read next: steps.go (the procedure), program.go (what is sent), calc.go (its arithmetic), finding.go (its words).
package cable

import (
	"fmt"
	"math"

	"fettle/routines"
)

// program changes whenever the order of the facts changes.
const program = "cable_check 1"

// Check is the cable check: send many harmless lines of the kind that a piece is made of, and say whether the cable and the
// board are fit for pieces of thousands of them.
func Check() routines.Routine {
	return routines.Routine{Name: "cable_check", Title: "Cable check", Program: program, Inputs: inputFields(), Check: checkInputs, Do: do}
}

type inputs struct {
	Lines float64 `json:"lines"`
}

// Below 500 lines, not even one without a fault says enough of a piece; 200,000 are those of a large one (common practice,
// no source).
const (
	fewestLines = 500
	mostLines   = 200_000
)

func inputFields() []routines.Field {
	return []routines.Field{{Name: "lines", Label: "Lines to send", Kind: routines.Number,
		Min: routines.Limit(fewestLines), Max: routines.Limit(mostLines), Step: 500, Default: 5000.0}}
}

func checkInputs(b routines.Begin) error {
	in, err := routines.Inputs[inputs](b)
	if err == nil && in.Lines != math.Trunc(in.Lines) {
		err = &routines.FieldError{Field: "lines", Detail: fmt.Sprintf("is %g, which is no whole number", in.Lines), Accept: fmt.Sprintf("%d to %d", fewestLines, mostLines)}
	}
	return err
}
