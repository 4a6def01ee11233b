package feed

import (
	"fmt"
	"math"

	"fettle/routines"
)

// What the filament may look like where the gear bit it.
const (
	biteShallow = "shallow"
	biteDeep    = "deep"
	biteEven    = "even"
	biteUnseen  = "unseen"
)

// What a shortfall at low flow comes from.
const (
	causeGrip    = "weak_grip"
	causeNozzle  = "blocked_nozzle"
	causeCold    = "too_cold"
	causeUnknown = "unknown"
)

// usualLeastMM3PerS is the flow below which a sound drive with a usual nozzle does not slip, softLeastMM3PerS that of
// flexible filament; narrower nozzles in proportion. Common practice, no source.
const (
	usualLeastMM3PerS = 5.0
	softLeastMM3PerS  = 1.0
)

// coldByC is how far below what was wanted a nozzle reads when its heater does not keep up, °C, and nearMinC how near to the
// least of its data sheet a temperature may itself be the cause. Common practice, no source.
const (
	coldByC  = 5.0
	nearMinC = 5.0
)

type biteAnswer struct {
	Bite string `json:"bite"`
}

func askBite(s shownFlow) routines.Question {
	return routines.Question{
		Name: "bite", Figure: "bite",
		Text:    "Pull the filament out. How do the gear's marks on it look?",
		Reason:  "It slips at low flow already. The marks tell a weak grip from a nozzle that lets too little through.",
		Warning: []string{"Treat the nozzle as hot until it reads below 50\u00a0°C."},
		Fields: []routines.Field{{Name: "bite", Label: "The gear's marks", Kind: routines.Choice, Choices: []routines.Option{
			{Value: biteShallow, Label: "Faint, or on one side"},
			{Value: biteDeep, Label: "Deep, or ground away"},
			{Value: biteEven, Label: "Even and clean all round"},
			{Value: biteUnseen, Label: "Cannot see them"},
		}}},
		Shown: s,
	}
}

// early reports whether it slips at flows that a sound drive masters.
func (f *flow) early(k found) bool {
	least := usualLeastMM3PerS * math.Min(1, f.Setup.NozzleBoreMM/usualBoreMM)
	if f.Material.Flexible {
		least = softLeastMM3PerS
	}
	switch {
	case k.Is:
		return k.LimitMM3PerS < least
	case f.last().complained(): // and nothing below it can be told
		return f.last().FlowMM3PerS <= least
	}
	return k.fromTheStart() && f.tried[0] <= least
}

// coldest is the block with the lowest temperature read among those up to a flow, where that is too far below what was
// wanted.
func (f *flow) coldest(upToMM3PerS float64) (block, bool) {
	coldest, any := block{}, false
	for _, b := range f.blocks {
		if c := b.Done.NozzleC; c > 0 && c < f.nozzleC-coldByC && b.FlowMM3PerS <= upToMM3PerS && (!any || c < coldest.Done.NozzleC) {
			coldest, any = b, true
		}
	}
	return coldest, any
}

// cause tells what a shortfall that grows from low flow on comes from.
func (f *flow) cause(bite string) string {
	_, cold := f.coldest(f.tried[min(1, len(f.tried)-1)])
	switch {
	case cold, bite == biteDeep && f.nozzleC < f.Material.NozzleMinC+nearMinC:
		return causeCold
	case bite == biteShallow:
		return causeGrip
	case bite == biteDeep:
		return causeNozzle
	}
	return causeUnknown
}

// causeWords are the headline and what to do.
func (f *flow) causeWords(cause string) (headline, do string) {
	switch cause {
	case causeGrip:
		return "Mend the grip first", "Clean the gear, look for worn teeth, and press the idler on harder; then a feed check, and this again."
	case causeNozzle:
		return "Clear the nozzle first", "The gear holds and the nozzle lets too little through: pull it clean or change it; then this again."
	case causeCold:
		return "Too cold first of all", fmt.Sprintf("Find out why the nozzle is not at its temperature, or go 5 to 10 °C hotter, up to %s by the data sheet; then this again.",
			unit(f.Material.NozzleMaxC, "°C"))
	}
	return "Look at grip and nozzle first", "Faint marks of the gear mean a weak grip; deep ones a blocked nozzle, or one that is too cold. Mend that, then this again."
}
