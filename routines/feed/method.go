package feed

import (
	"fmt"

	"fettle/routines"
	"fettle/routines/gauge"
)

// The methods of a check, as the input names them.
const (
	atInlet        = "inlet"
	twoFlags       = "two_flags"
	severalLengths = "several_lengths"
	coldInlet      = "cold"
	tubeEnd        = "tube_end"
)

// A method is a way to do a pass, with its steps in an order of its own that is safe.
type method struct {
	name, label string
	way         gauge.Way
	fits        func(routines.Setup) string               // why it does not fit a setup, or ""
	first       func(*check) routines.Question            // asked before anything heats or moves
	pass        func(*check, int, bool) (pass, error)     // one pass; the last word: another surely follows
	cold        bool                                      // fed with no heat, the block of cold extrusion lifted
	longest     func(in inputs) (mm float64, what string) // the most that can be commanded with the gauge, and what leaves it
}

func methods() []method {
	return []method{
		{name: atInlet, label: "A mark at the inlet", way: gauge.Inlet, fits: anySetup,
			first: (*check).askAir, pass: (*check).passInlet, longest: longestMark},
		{name: twoFlags, label: "Two flags of tape", way: gauge.TwoFlags, fits: anySetup,
			first: (*check).askAir, pass: (*check).passFlags, longest: longestFlags},
		{name: severalLengths, label: "Several lengths against one mark", way: gauge.SeveralLengths, fits: anySetup,
			first: (*check).askAir, pass: (*check).passLengths, longest: longestMark},
		{name: coldInlet, label: "A mark at the inlet, cold, the path below the gear open", way: gauge.Inlet, fits: onlyDirect, cold: true,
			first: (*check).askPath, pass: (*check).passInlet, longest: longestMark},
		{name: tubeEnd, label: "A piece cut at the tube's end", way: gauge.CutPiece, fits: onlyTube, cold: true,
			first: (*check).askAir, pass: (*check).passTube, longest: longestPiece},
	}
}

// methodOf finds a method by its name.
func methodOf(name string) (method, bool) {
	for _, m := range methods() {
		if m.name == name {
			return m, true
		}
	}
	return method{}, false
}

func methodOptions() []routines.Option {
	var out []routines.Option
	for _, m := range methods() {
		out = append(out, routines.Option{Value: m.name, Label: m.label})
	}
	return out
}

func anySetup(routines.Setup) string { return "" }

func onlyDirect(s routines.Setup) string {
	if s.Drive != "direct" {
		return "needs a direct drive: through a tube nothing can come out cold"
	}
	return ""
}

func onlyTube(s routines.Setup) string {
	if s.Drive != "bowden" || s.Tube == nil {
		return "needs a tube between gear and hot end, in the setup"
	}
	return ""
}

func longestMark(in inputs) (float64, string) {
	return LongestFeedMM(in.RuleMM), fmt.Sprintf("its mark would leave a rule of %s", unit(in.RuleMM, "mm"))
}

// longestFlags leaves 10 mm of the rule: the flags lie on it free of the printer, as far apart as is commanded.
func longestFlags(in inputs) (float64, string) {
	return in.RuleMM - 10, fmt.Sprintf("its flags would leave a rule of %s", unit(in.RuleMM, "mm"))
}

// longestPiece leaves room for a feed 15 % too long.
func longestPiece(in inputs) (float64, string) {
	return in.RuleMM / 1.15, fmt.Sprintf("its piece could be longer than the %s of the gauge", unit(in.RuleMM, "mm"))
}

// markMM is the length that the gauge is held to, for a feed of commandedMM.
func (m method) markMM(commandedMM float64) float64 {
	if m.way == gauge.Inlet || m.way == gauge.SeveralLengths {
		return MarkDistanceMM(commandedMM)
	}
	return commandedMM
}

// one is the work of one pass whose mark is that far away.
func (c *check) one(markMM float64) gauge.Work {
	w := c.work
	w.MarkMM, w.Passes = markMM, 1
	return w
}
