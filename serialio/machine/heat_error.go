package machine

import (
	"errors"
	"fmt"
)

// HeatFault is what was wrong with the heat.
type HeatFault string

// The faults that end a wait or a feed. Each is acted upon only when it has been seen twice. The figures are the nozzle's;
// a bed is slower (bed_watch.go).
const (
	NoRise      HeatFault = "no rise"      // less than 20 °C in the first 60 s
	AboveCap    HeatFault = "above cap"    // hotter than the printer's limit
	OverTarget  HeatFault = "over target"  // more than 15 °C over the target for 10 s
	Frozen      HeatFault = "frozen"       // the same reading for 30 s while it should heat
	Implausible HeatFault = "implausible"  // no nozzle is so cold
	Jump        HeatFault = "jump"         // no nozzle changes by 15 °C in a second
	WrongTarget HeatFault = "wrong target" // the printer has another target than was sent, twice sent
	SwitchedOff HeatFault = "switched off" // the target was there and is gone: at the panel, or by a restart
	NoReading   HeatFault = "no reading"   // nothing that could be read for 10 s
	TooSlow     HeatFault = "too slow"     // not there after 15 minutes, a bed after 30
)

// Heated is what a heater heats.
type Heated string

// The two that are watched.
const (
	Nozzle Heated = "nozzle"
	Bed    Heated = "bed"
)

// A HeatError says what was wrong with the heat of a part and with what readings, °C.
type HeatError struct {
	Part     Heated
	Fault    HeatFault
	ReadsC   float64 // the last reading, however unlikely
	TargetC  float64 // what was asked for; 0: nothing of ours
	ReportsC float64 // the target the printer reports
	CapC     float64
}

func (e *HeatError) Error() string {
	return fmt.Sprintf("%s (%s %.1f °C, target %.1f °C)", e.sentence(), e.Part, e.ReadsC, e.TargetC)
}

func (e *HeatError) sentence() string {
	switch e.Fault {
	case NoRise:
		return fmt.Sprintf("the %s does not get warmer: sensor or heater loose? Look before touching", e.Part)
	case AboveCap:
		return fmt.Sprintf("the %s is hotter than its limit of %.0f °C", e.Part, e.CapC)
	case OverTarget:
		return fmt.Sprintf("the %s is far over its target and stays there", e.Part)
	case Frozen:
		return fmt.Sprintf("the reading of the %s has not moved for 30 s while it should heat", e.Part)
	case Implausible, Jump:
		return fmt.Sprintf("the reading of the %s cannot be true", e.Part)
	case WrongTarget:
		return fmt.Sprintf("the heat setting of the %s did not arrive: the printer reports %.1f °C", e.Part, e.ReportsC)
	case SwitchedOff:
		return fmt.Sprintf("the heater of the %s was switched off at the printer", e.Part)
	case NoReading:
		return fmt.Sprintf("the printer no longer says how hot the %s is", e.Part)
	case TooSlow:
		return fmt.Sprintf("the %s did not reach its target in %d minutes", e.Part, e.Part.minutes())
	}
	return string(e.Fault)
}

// minutes is how long a part may take to its target.
func (h Heated) minutes() int {
	if h == Bed {
		return 30
	}
	return 15
}

// FaultOf is the fault of the heat in an error, and false where it is about none.
func FaultOf(err error) (HeatFault, bool) {
	var heat *HeatError
	if errors.As(err, &heat) {
		return heat.Fault, true
	}
	return "", false
}
