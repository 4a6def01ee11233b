package machine

import "math"

// The closed lists. Their words are those of the open RepRap dialect (its public wiki page "G-code"), from memory; what
// a word does in one firmware or another is from memory as well.

// A no is why a word is not sent, and what a person can do instead.
type no struct{ why, accept string }

const (
	heatHere   = "M104 or M140, and the wait is ours"
	ownDevices = "the printer's own panel"
)

// never is what no verb sends, whoever asks.
var never = map[string]no{
	"G4":   {"a stop would wait behind it", "a pause of your own"},
	"M0":   {"the printer would wait for a person, and a stop behind it", ownDevices},
	"M1":   {"the printer would wait for a person, and a stop behind it", ownDevices},
	"M109": {"a stop would wait behind it", heatHere},
	"M190": {"a stop would wait behind it", heatHere},
	"M116": {"a stop would wait behind it", heatHere},
	"M226": {"a stop would wait behind it", ownDevices},
	"M600": {"a stop would wait behind it", ownDevices},
	"M112": {"it is no line, it stops the firmware", "Halt"},
	"M410": {"it leaves the position unknown", "Stop"},
	"M999": {"it restarts a halted firmware", "Wake, after the cause is found"},
	"M85":  {"nothing reports its old value, and left behind it halts the owner's next long heat-up", "nothing"},
	"M303": {"it heats by itself, outside our watch", ownDevices},
	"M23":  {"a program on the printer's card is not ours to run", ownDevices},
	"M24":  {"a program on the printer's card is not ours to run", ownDevices},
	"M32":  {"a program on the printer's card is not ours to run", ownDevices},
	"M28":  {"it writes what follows into a file", ownDevices},
	"M29":  {"it writes what follows into a file", ownDevices},
	"M30":  {"it deletes a file", ownDevices},
	"M997": {"it renews the firmware", "the maker's own way"},
	"M502": {"it overwrites every setting", ownDevices},
	"M110": {"line numbers are the line's own", "nothing"},
	"G20":  {"everything here is in millimetres", "millimetres"},
}

// untyped is what a person may not type, though a verb sends it or a routine may: it is worth saying why.
var untyped = map[string]no{
	"M92":  {"it writes a setting", "M92 alone, which asks; or the feed check, which proves what it writes"},
	"M200": {"it changes how every length is understood", "a routine, which gives it back"},
	"M201": {"it writes a setting", "M201 alone, which asks"},
	"M203": {"it writes a setting", "M203 alone, which asks"},
	"M204": {"it writes a setting", "M204 alone, which asks"},
	"M205": {"it writes a setting", "M205 alone, which asks"},
	"M206": {"it writes a setting", "M503, which shows it"},
	"M207": {"it writes a setting", "M207 alone, which asks"},
	"M208": {"it writes a setting", "M208 alone, which asks"},
	"M211": {"it lifts a protection: the ends of the axes", ownDevices},
	"M220": {"it changes every speed", "M220 alone, which asks"},
	"M221": {"it changes every feed", "M221 alone, which asks"},
	"M301": {"it writes a setting of the heater", ownDevices},
	"M302": {"it lifts a protection: cold extrusion", "a routine, which gives it back"},
	"M304": {"it writes a setting of the heater", ownDevices},
	"M500": {"it stores every setting", "the feed check, which proves what it stores"},
	"M501": {"it overwrites what is in use by what is stored", "the feed check, which compares the two"},
	"M851": {"it writes a setting", "M503, which shows it"},
	"M900": {"it writes a setting", "M503, which shows it"},
	"M906": {"it writes a setting: motor current", ownDevices},
	"M42":  {"it lifts every protection of the pin it sets", ownDevices},
}

// touch is what a word does to the world.
type touch int

const (
	nothing touch = iota
	heat
	motion
)

// A letter is one parameter of a word with the values a firmware can sensibly be given.
type letter struct {
	name     byte
	min, max float64
	bare     bool // given without a number, and never with one
}

// A word is one entry of a closed list.
type word struct {
	letters []letter
	need    string // at least one of these letters; "" where the word may stand alone
	touches touch
}

var (
	asks      = word{}
	percent   = letter{name: 'S', min: 10, max: 999}
	tool      = letter{name: 'T', min: 0, max: 7}
	zeroHeat  = word{letters: []letter{{name: 'S'}}, need: "S"}
	axisNames = []letter{{name: 'X', bare: true}, {name: 'Y', bare: true}, {name: 'Z', bare: true}, {name: 'E', bare: true}}
	fanOn     = word{letters: []letter{{name: 'S', max: 255}, {name: 'P', max: 9}}, need: "S"}
	fanOff    = word{letters: []letter{{name: 'P', max: 9}}}
	move      = word{letters: append(each("XYZ", -2000, 2000), letter{name: 'E', min: -100_000, max: 100_000}, letter{name: 'F', min: 1, max: 60_000}), need: "XYZE", touches: motion}
)

// typed is what a person may type as one line.
var typed = map[string]word{
	"M105": asks, "M114": asks, "M115": asks, "M119": asks, "M503": asks,
	"M92": asks, "M201": asks, "M203": asks, "M204": asks, "M205": asks, "M207": asks, "M208": asks, "M220": asks, "M221": asks,
	"M104": {letters: []letter{{name: 'S', max: hardNozzleMaxC}}, need: "S", touches: heat},
	"M140": {letters: []letter{{name: 'S', max: hardBedMaxC}}, need: "S", touches: heat},
	"M106": fanOn,
	"M107": fanOff,
	"G0":   move,
	"G1":   move,
	"G28":  {letters: axisNames[:3], touches: motion},
	"G29":  {touches: motion},
	"G90":  asks, "G91": asks, "M82": asks, "M83": asks,
	"G92":  {letters: each("E", -100_000, 100_000), need: "E"}, // of an axis it would move the limits with it
	"M84":  {letters: axisNames, touches: motion},
	"M400": asks,
}

// given is what a routine may set aside, and what a printer may be owed: restored when a run ends, whatever way.
var given = map[string]word{
	"M104": zeroHeat, "M140": zeroHeat,
	"M106": fanOn, "M107": fanOff,
	"M220": {letters: []letter{percent}, need: "S"},
	"M221": {letters: []letter{percent, tool}, need: "S"},
	"M200": {letters: []letter{{name: 'D', max: 5}, {name: 'S', max: 1}, {name: 'L', max: 1000}, tool}, need: "DSL"},
	"M302": {letters: []letter{{name: 'S', max: hardNozzleMaxC}, {name: 'P', max: 1}}, need: "SP"},
	"M92":  {letters: append(each("XYZE", minStepsPerMM, maxStepsPerMM), tool), need: "XYZE"},
	"M201": {letters: append(each("XYZE", 1, 100_000), tool), need: "XYZE"},
	"M203": {letters: append(each("XYZE", 0.01, 10_000), tool), need: "XYZE"},
	"M204": {letters: each("PRST", 1, 100_000), need: "PRST"},
	"M205": {letters: append(each("BSTJ", 0, 1_000_000), each("XYZE", 0, 1000)...), need: "BSTJXYZE"},
	"M206": {letters: each("XYZ", -500, 500), need: "XYZ"},
	"M207": {letters: append(each("SW", 0, 100), letter{name: 'F', min: 1, max: 60_000}, letter{name: 'Z', max: 20}), need: "SWFZ"},
	"M208": {letters: append(each("SW", -100, 100), each("FR", 1, 60_000)...), need: "SWFR"},
	"M301": {letters: append(each("PIDCLF", 0, 100_000), letter{name: 'E', max: 7}), need: "PIDCLF"},
	"M304": {letters: each("PID", 0, 100_000), need: "PID"},
	"M851": {letters: each("XYZ", -500, 500), need: "XYZ"},
	"M900": {letters: []letter{{name: 'K', max: 10}, tool}, need: "K"},
}

// Steps/mm that a printer can sensibly have: 80 of a belt to some 4,000 of a screw (common practice, no source).
const (
	minStepsPerMM = 1
	maxStepsPerMM = 20_000
)

func each(names string, least, most float64) []letter {
	letters := make([]letter, 0, len(names))
	for i := range len(names) {
		letters = append(letters, letter{name: names[i], min: least, max: math.Max(least, most)})
	}
	return letters
}
