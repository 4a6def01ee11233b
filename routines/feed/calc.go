package feed

import (
	"fmt"
	"math"

	"fettle/routines"
	"fettle/routines/gauge"
)

// NewStepsPerMM is the steps/mm that would have fed what was commanded: old × commanded / fed. Plain proportion.
func NewStepsPerMM(old, commandedMM, fedMM float64) float64 { return old * commandedMM / fedMM }

// ExpectedStepsPerMM follows from the parts of the drive: steps of a turn over the way of a turn at the gear's effective
// diameter. Plain mechanics; the effective diameter itself depends on how deep the gear bites.
func ExpectedStepsPerMM(g routines.Gear) float64 {
	return gauge.ExpectedStepsPerMM(g.StepsPerRev, g.Microsteps, g.Ratio, g.EffectiveDiameterMM)
}

// SpeedMMPerS is the speed of filament at which it carries a flow, mm³/s over mm².
func SpeedMMPerS(flowMM3PerS, areaMM2 float64) float64 { return flowMM3PerS / areaMM2 }

// MarkDistanceMM is how far from the inlet a mark is set: 1.2 times what is commanded and at least 20 mm more, so that
// a printer 15 % off does not swallow its mark.
func MarkDistanceMM(commandedMM float64) float64 { return math.Max(1.2*commandedMM, commandedMM+20) }

// LongestFeedMM is the most that can be commanded with a rule of this length, mm: its mark stays on the rule and 30 mm
// of it are left to hold.
func LongestFeedMM(ruleMM float64) float64 { return math.Min((ruleMM-30)/1.2, ruleMM-50) }

// writable is a value as it is written: firmware reports steps/mm with two decimals (common practice, no source), and
// what is written must be what is read back.
func writable(stepsPerMM float64) float64 { return math.Round(stepsPerMM*100) / 100 }

// near reports whether x is within 5 % of y.
func near(x, y float64) bool { return math.Abs(x/y-1) < 0.05 }

// nameRatio says what a ratio of fed to commanded usually comes from when it is no matter of calibration, or "".
func nameRatio(ratio float64, s routines.Setup) string {
	area := s.FilamentAreaMM2()
	switch {
	case near(ratio, 2):
		return "It fed about twice the length: that is a wrong microstep or gear setting rather than a calibration."
	case near(ratio, 0.5):
		return "It fed about half the length: that is a wrong microstep or gear setting rather than a calibration."
	case near(ratio, 1/area):
		return "It fed about " + unit(100/area, "mm") + " of 100: that is 100 mm³ of this filament, so volumetric extrusion seems to be on."
	case s.Gear != nil && s.Gear.Ratio > 1.1 && (near(ratio, s.Gear.Ratio) || near(ratio, 1/s.Gear.Ratio)):
		return "It is off by about the gear ratio of the setup: the printer's setting seems to leave the gear out or count it twice."
	}
	if factor, what, is := gauge.NearFactor(ratio, 1); is {
		return fmt.Sprintf("It fed about %.3g times the length (%s): a setting rather than a calibration.", factor, what)
	}
	return ""
}
