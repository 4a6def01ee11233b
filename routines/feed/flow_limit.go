package feed

import (
	"fettle/routines"
	"fettle/routines/docket"
)

// flowProgram changes whenever the order of the facts changes; also with gauge.KneeOf, by which the last blocks and the last
// question are decided.
const flowProgram = "flow_limit 1"

// Kinds of entries that the flow limit rests on or leaves, as dockets have them.
const (
	kindFlowLimit = "flow_limit_mm3_per_s"
	kindNozzleC   = "nozzle_c"
)

// FlowLimit feeds blocks of filament into free air, each faster than the one before, and finds the flow from which the
// drive no longer keeps up: where what goes in has fallen by a tolerance. Steps/mm are not its matter, and it writes nothing
// to the printer.
func FlowLimit() routines.Routine {
	return routines.Routine{
		Name:    "flow_limit",
		Title:   "Flow limit",
		Program: flowProgram,
		Inputs:  flowFields(),
		Reads:   []string{kindNozzleC, docket.FilamentDiameter, docket.KindChange},
		Check:   checkFlow,
		Do:      doFlow,
	}
}
