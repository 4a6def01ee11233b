package runner

import (
	"fmt"

	"fettle/routines"
)

const cautionHands = "Warning. Keep hands, hair and sleeves out of the machine. It can start to move without a sound."

// cautions are shown before a run heats or moves: the usual ones, common practice, no source. The order of deference is
// law and workplace rules, the machine maker's manual, the material maker's data sheet, this program.
func cautions(s routines.Setup, hot routines.Heat) []string {
	where := ownSwitch
	if s.Switch != "" {
		where += " (" + s.Switch + ")"
	}
	list := general(where)
	if hot.BedC > 0 {
		list = append(list, "Caution. The bed is hot as well. Let it cool before you take anything off.")
	}
	if s.Liner != "all_metal" && hot.NozzleC > 0 {
		list = append(list, fmt.Sprintf("Warning. A liner of fluoropolymer that reaches the heated part gives off toxic fumes when overheated. The limit stays at %.0f °C.", s.NozzleCapC()))
	}
	return list
}

const ownSwitch = "the machine's own switch"

// Cautions are those that hold for every printer: what somebody who begins a run with "attended" says to have read.
func Cautions() []string { return general(ownSwitch) }

func general(where string) []string {
	return []string{
		"Warning. Stay in the room while the machine heats. If you leave, press Stop.",
		"Warning. The nozzle burns skin at once. Wait until it reads below 50 °C, or treat it as hot.",
		"Warning. Stop here is a request sent by cable. If anything looks wrong, use " + where + ".",
		"Warning. Smoke, a burnt smell or a glow: switch off at the plug, then call for help. Do not open, do not restart.",
		cautionHands,
		"Caution. Hot plastic gives off fine dust and vapour. Open a window. Read the maker's data sheet of the material.",
		"Notice. This program helps you adjust the machine. It is not a safety device, and the maker's manual comes first.",
	}
}
