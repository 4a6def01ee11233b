// Package spool holds the routine about the filament itself: how wide it is, by readings across it at several places, each
// one way and then square to it.
//
// Owns: the measuring of a diameter as a procedure, which reading looks like a slip, when a spool is uneven or of another
// size, and the words of it.
// Guarantees: nothing heats and nothing moves; no reading is dropped: one that is far from all others is asked for again, and
// both stay on record; the mean of filament of another size is never recorded as the diameter of the one that is fitted.
// Does not do: work out mean and uncertainty (routines/gauge), judge whether a diameter still holds (routines/docket).
// Read next: steps.go (the procedure), ask.go (its question), slip.go, judge.go, finding.go.
package spool

import "fettle/routines"

// program changes whenever the order of the facts changes; also with far, by which readings are asked for again.
const program = "filament_diameter 1"

// kindWrongSize is the entry of readings that are of another size of filament: no docket has it.
const kindWrongSize = "filament_wrong_size"

// Diameter is the diameter of the filament of one spool: its mean, with its uncertainty, and how much it varies.
func Diameter() routines.Routine {
	return routines.Routine{Name: "filament_diameter", Title: "Filament diameter", Program: program, Inputs: inputFields(),
		Check: checkInputs, Do: do}
}
