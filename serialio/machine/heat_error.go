package machine

import "fmt"

// HeatFault is what was wrong with the heat.
type HeatFault string

// The faults that end a wait or a feed. Each is acted upon only when it has been seen twice.
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
	TooSlow     HeatFault = "too slow"     // not there after 15 minutes
)

// A HeatError says what was wrong with the heat and with what readings, °C.
type HeatError struct {
	Fault    HeatFault
	NozzleC  float64 // the last reading, however unlikely
	TargetC  float64 // what was asked for
	ReportsC float64 // the target the printer reports
	CapC     float64
}

func (e *HeatError) Error() string {
	return fmt.Sprintf("%s (nozzle %.1f °C, target %.1f °C)", e.sentence(), e.NozzleC, e.TargetC)
}

func (e *HeatError) sentence() string {
	switch e.Fault {
	case NoRise:
		return "the nozzle does not get warmer: sensor or heater loose? Look before touching"
	case AboveCap:
		return fmt.Sprintf("the nozzle is hotter than its limit of %.0f °C", e.CapC)
	case OverTarget:
		return "the nozzle is far over its target and stays there"
	case Frozen:
		return "the reading of the nozzle has not moved for 30 s while it should heat"
	case Implausible, Jump:
		return "the reading of the nozzle cannot be true"
	case WrongTarget:
		return fmt.Sprintf("the heat setting did not arrive: the printer reports %.1f °C", e.ReportsC)
	case SwitchedOff:
		return "the heater was switched off at the printer"
	case NoReading:
		return "the printer no longer says how hot the nozzle is"
	case TooSlow:
		return "the nozzle did not reach its target in 15 minutes"
	}
	return string(e.Fault)
}
