// Package feed holds the routines about feeding filament: whether 100 mm commanded is 100 mm fed, and up to which flow.
//
// Owns: the feed check and the search for the flow limit as procedures, their arithmetic, their questions and their words.
// Guarantees: a value is offered only where it differs by more than its own uncertainty, and written only after a
// person said so; a flow limit is written nowhere but into the record; every raw reading is recorded with the gauge it was
// read with.
// Does not do: heat, ask for presence, set modes aside or keep hands away; the runner does that before each motion.
// Read next: steps.go (the feed check), method.go (the ways to measure), calc.go and verdict.go (its arithmetic), ask.go
// (its questions), flow_steps.go (the flow limit), flow_knee.go (where it lies).
package feed

import "fettle/routines"

// program changes whenever the order of the facts changes.
const program = "feed_check 3"

// Check is the feed check: feed a commanded length from a mark, measure what went in, and say whether the extruder's
// steps/mm should be left, changed, or cannot be told yet.
func Check() routines.Routine {
	return routines.Routine{
		Name:    "feed_check",
		Title:   "Feed check",
		Program: program,
		Inputs:  inputFields(),
		Check:   checkInputs,
		Do:      do,
	}
}
