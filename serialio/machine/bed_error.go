package machine

import (
	"errors"
	"fmt"
)

// A BedError says what was wrong with the heat of the bed and with what readings, °C.
type BedError struct {
	Fault    HeatFault
	BedC     float64 // the last reading, however unlikely
	TargetC  float64 // what was asked for; 0: nothing of ours
	ReportsC float64 // the target the printer reports
	CapC     float64
}

func (e *BedError) Error() string {
	return fmt.Sprintf("%s (bed %.1f °C, target %.1f °C)", e.sentence(), e.BedC, e.TargetC)
}

func (e *BedError) sentence() string {
	switch e.Fault {
	case NoRise:
		return "the bed does not get warmer: sensor or heater loose? Look before touching"
	case AboveCap:
		return fmt.Sprintf("the bed is hotter than its limit: over %.0f °C", e.CapC)
	case OverTarget:
		return "the bed is far over its target and stays there"
	case Implausible, Jump:
		return "the reading of the bed cannot be true"
	case WrongTarget:
		return fmt.Sprintf("the heat setting of the bed did not arrive: the printer reports %.1f °C", e.ReportsC)
	case SwitchedOff:
		return "the bed was switched off at the printer"
	case NoReading:
		return "the printer does not say how hot the bed is"
	case TooSlow:
		return "the bed did not reach its target in 30 minutes"
	}
	return string(e.Fault)
}

// FaultOf is the fault of the nozzle's heat or the bed's in an error, and false where it is about neither.
func FaultOf(err error) (HeatFault, bool) {
	var nozzle *HeatError
	var bed *BedError
	switch {
	case errors.As(err, &nozzle):
		return nozzle.Fault, true
	case errors.As(err, &bed):
		return bed.Fault, true
	}
	return "", false
}
