// Package melt is the mechanics of filament on its way to the nozzle and back: how long a travel takes, what a tube hides,
// what a retraction takes off the melt and what a restart owes it.
//
// Owns: the formulas, each with its units and its source, and the start value of a retraction length with its parts.
// Guarantees: pure functions of numbers; nothing here knows a printer, a clock or a file.
// Does not do: choose anything (routines/rung does), or claim that its melt is anyone's plastic: the first-order model of
// pressure and ooze is our own, with constants that are estimates. No controlled published study of string length against
// retraction was found.
// Read next: travel.go, tube.go, start.go, ceiling.go, flow.go, ooze.go, then routines/rung.
package melt
