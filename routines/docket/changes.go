package docket

import (
	"slices"

	"fettle/routines"
)

// A Change is something that a person did to the machine, and what it makes stale.
type Change struct {
	What       string
	Label      string
	OfMaterial bool // it is about one material, which must be named
	Compares   bool // the printer's settings are to be compared anew, and taken as they are where the change is about them
	stages     []stage
}

// fromFeed is everything after feed, and feed itself: where the gear, its pressure or its motor changed, 100 mm are no
// longer proved to be 100 mm, and all else rests on that.
var fromFeed = []stage{atFeed, atTemperature, atFlow, atTravel, atLength} // does not change

// all is everything that is found: a diameter, which no feed is about, and what follows from the feed.
var all = []stage{atDiameter, atFeed, atTemperature, atFlow, atTravel, atLength} // does not change

// filamentSize is the change that a diameter out of reach of the setup's is put down to.
const filamentSize = "filament_size"

// changes is what makes a value stale. Common practice, no source. It does not change.
var changes = [...]Change{
	{What: "new_gear", Label: "new gear", stages: fromFeed},
	{What: "idler_tension", Label: "idler tension", stages: fromFeed},
	{What: "motor_setting", Label: "motor setting", Compares: true, stages: fromFeed},
	{What: filamentSize, Label: "filament of another size", stages: all},
	{What: "new_nozzle", Label: "new nozzle", stages: []stage{atFlow, atLength}},
	{What: "new_hot_end", Label: "new hot end", stages: []stage{atFlow, atLength}},
	{What: "temperature", Label: "temperature", stages: []stage{atFlow, atLength}},
	{What: "tube", Label: "tube cut or replaced", stages: []stage{atLength}},
	{What: "coupler", Label: "coupler clipped", stages: []stage{atLength}},
	// The diameter is measured for each spool.
	{What: "new_material", Label: "new material", OfMaterial: true, stages: []stage{atDiameter, atFlow, atLength}},
	{What: "new_spool", Label: "new spool", OfMaterial: true, stages: []stage{atDiameter, atFlow, atLength}},
	{What: "acceleration", Label: "acceleration", Compares: true, stages: []stage{atTravel, atLength}},
	{What: "pressure_compensation", Label: "pressure compensation", stages: []stage{atTravel, atLength}},
	{What: "fan", Label: "fan", stages: []stage{atTravel, atLength}},
	{What: "firmware", Label: "firmware reset or renewed", Compares: true},
}

// Changes lists every change that can be recorded.
func Changes() []Change { return slices.Clone(changes[:]) }

// ChangeNamed finds a change; false where there is none of that name.
func ChangeNamed(what string) (Change, bool) {
	i := slices.IndexFunc(changes[:], func(c Change) bool { return c.What == what })
	if i < 0 {
		return Change{}, false
	}
	return changes[i], true
}

// MakesStale lists the kinds of values that the change makes stale, in the docket's order.
func (c Change) MakesStale() []string {
	out := []string{}
	for _, k := range kinds {
		if slices.Contains(c.stages, k.stage) {
			out = append(out, k.name)
		}
	}
	return out
}

// Again lists what is to be run again after the change, in the order of the work.
func (c Change) Again() []string {
	out := []string{}
	for _, s := range c.stages {
		out = append(out, again[s])
	}
	return out
}

// ChangeBody is what an entry of a change holds.
type ChangeBody struct {
	What string `json:"what"`
	Note string `json:"note,omitempty"`
	From int64  `json:"from_setup,omitempty"` // the version of the setup before, where the change follows from a new one
}

// Implied lists the changes that follow from another setup. What was not known before and is now is no change.
func Implied(before, after routines.Setup) []string {
	var out []string
	add := func(what string, changed bool) {
		if changed && !slices.Contains(out, what) {
			out = append(out, what)
		}
	}
	drive, size := before.Drive != after.Drive, before.FilamentDiameterMM != after.FilamentDiameterMM
	add(filamentSize, size)
	add("new_gear", drive || size || gearDiffers(before.Gear, after.Gear))
	add("motor_setting", motorDiffers(before.Gear, after.Gear))
	add("new_nozzle", before.NozzleBoreMM != after.NozzleBoreMM)
	add("new_hot_end", size || before.Liner != after.Liner && before.Liner != "unknown" && after.Liner != "unknown")
	add("tube", drive || size || tubeDiffers(before.Tube, after.Tube))
	add("coupler", before.Tube != nil && after.Tube != nil && before.Tube.CouplerPlayMM != after.Tube.CouplerPlayMM)
	return out
}

func gearDiffers(a, b *routines.Gear) bool {
	return a != nil && b != nil && (a.Ratio != b.Ratio || a.EffectiveDiameterMM != b.EffectiveDiameterMM)
}

func motorDiffers(a, b *routines.Gear) bool {
	return a != nil && b != nil && (a.StepsPerRev != b.StepsPerRev || a.Microsteps != b.Microsteps)
}

// tubeDiffers compares what the way of the filament depends on, but for the couplers.
func tubeDiffers(a, b *routines.Tube) bool {
	if a == nil || b == nil {
		return false
	}
	x, y := *a, *b
	x.CouplerPlayMM, y.CouplerPlayMM = 0, 0
	return x != y
}
