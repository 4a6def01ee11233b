package gcode

import (
	"bytes"
	"strings"
)

// FaultKind is why a printer stopped itself, as far as its words tell.
type FaultKind string

// The kinds of fault.
const (
	HeatingFailed FaultKind = "heating failed" // told to heat, and not warmer in time
	Runaway       FaultKind = "runaway"        // it left its target and did not come back
	ReadsTooCold  FaultKind = "reads too cold" // MINTEMP
	ReadsTooHot   FaultKind = "reads too hot"  // MAXTEMP
	HeaterFault   FaultKind = "heater fault"   // of a heater, in words of the firmware's own
	StoppedItself FaultKind = "stopped itself" // and no reason given
)

// A Fault is a printer's own fault report in plain words. They stand beside the firmware's text and never instead of it.
type Fault struct {
	Kind   FaultKind `json:"kind"`
	Heater string    `json:"heater"` // "the nozzle", "the bed", "the chamber"; "a heater" where it is not said
	Means  string    `json:"means"`  // one sentence: what it means
	Look   string    `json:"look"`   // what to look at before heating again
}

// faultSigns are the words by which faults are told apart, the telling ones first. The first six are of the community's
// public page "G-code"; the others are common practice, no source.
var faultSigns = [...]struct {
	sign string
	kind FaultKind
}{
	{"runaway", Runaway},
	{"heating failed", HeatingFailed},
	{"maxtemp", ReadsTooHot},
	{"mintemp", ReadsTooCold},
	{"halted", StoppedItself},
	{"system stopped", StoppedItself},
	{"kill() called", StoppedItself},
	{"heater fault", HeaterFault},
	{"heating fault", HeaterFault},
	{"heater error", HeaterFault},
	{"temperature fault", HeaterFault},
	{"max temp", ReadsTooHot},
	{"min temp", ReadsTooCold},
	{"not heating", HeatingFailed},
}

// faultKind tells the words of a fault apart. It allocates nothing for a message of usual length. A cable that damages lines
// makes many errors, and each is looked through for every sign, so their letters are made small once.
func faultKind(message []byte) (FaultKind, bool) {
	var room [128]byte
	small := room[:0]
	for _, c := range message {
		small = append(small, lower(c))
	}
	for _, s := range faultSigns {
		if bytes.Contains(small, []byte(s.sign)) {
			return s.kind, true
		}
	}
	return "", false
}

// FaultOf says in plain words what a printer's text of a fault means, "Error:" before it or not. It reports false for a
// text that names none. Of a text that was already told to be Fatal it says at least that the printer stopped itself.
func FaultOf(text string) (Fault, bool) {
	message := []byte(text)
	kind, ok := faultKind(message)
	switch {
	case ok:
	case ParseReply(message).Kind == Fatal, indexFold(message, "stopped") >= 0:
		kind = StoppedItself
	default:
		return Fault{}, false
	}
	f := Fault{Kind: kind, Heater: heaterNamed(message)}
	if kind == StoppedItself && f.Heater != someHeater {
		f.Kind = HeaterFault
	}
	words := plainWords[f.Kind]
	f.Means = strings.ReplaceAll(words.means, "{heater}", f.Heater)
	f.Means = strings.ToUpper(f.Means[:1]) + f.Means[1:]
	f.Look = words.look
	return f, true
}

const someHeater = "a heater"

// heaterNamed is the heater that a text names: "Heater_ID: 0", "Heater_ID: bed", "heated bed", "heater 0". A number
// below 0 was the bed's on old firmware (common practice, no source).
func heaterNamed(message []byte) string {
	for _, h := range [...]struct{ sign, name string }{
		{"bed", "the bed"}, {"chamber", "the chamber"}, {"heater_id: -", "the bed"}, {"heater_id: ", "the nozzle"},
		{"nozzle", "the nozzle"}, {"hotend", "the nozzle"}, {"extruder", "the nozzle"}, {"heater 0", "the nozzle"},
	} {
		if indexFold(message, h.sign) >= 0 {
			return h.name
		}
	}
	return someHeater
}

// plainWords are common practice, no source: what each report means at the bench, and what is looked at first.
var plainWords = map[FaultKind]struct{ means, look string }{
	HeatingFailed: {"{heater} was told to heat and did not get warmer in time.",
		"With the printer off and cold: do the heater and its sensor sit firmly, and is a wire loose or broken?"},
	Runaway: {"{heater} left its target and did not come back: its heater or its sensor may have come loose.",
		"With the printer off and cold: does the sensor sit firmly in its place? One that has slipped out lets the heater run far too hot."},
	ReadsTooCold: {"the sensor of {heater} reads colder than can be: it is most likely unplugged, or its wire is broken.",
		"With the printer off: is the sensor's plug in, and its wire whole? In a very cold room, let the printer warm up first."},
	ReadsTooHot: {"the sensor of {heater} reads above the printer's own limit: it is too hot, or the sensor's wires touch.",
		"Switch the printer off and let it cool. Is the sensor's wire pinched? A heater that gets warm with its target at 0 has a failed switch: leave it off."},
	HeaterFault: {"the printer reports that something is wrong with {heater}.",
		"With the printer off and cold: do heater and sensor sit firmly, and are their wires whole?"},
	StoppedItself: {"the printer stopped itself and gives no reason with it.",
		"Read what it said before. Do not heat again before the reason is known."},
}
