package gauge

import "fmt"

// Fed is which part of what was commanded at one speed went in.
type Fed struct {
	SpeedMMPerS float64 // of the filament
	Fraction    float64 // fed over commanded: 1 where nothing was lost
	SD          float64 // standard deviation of Fraction; 0 in all: alike, and known from the scatter alone
}

// A Knee is where what is fed falls short with rising speed. The limit is the speed at which it has fallen by the
// tolerance, as a part of what is fed at low speed: what is short there already is no matter of speed and told apart.
type Knee struct {
	LimitMMPerS   float64 // 0 unless Found
	LowMMPerS     float64 // of an interval of about 95 %, found or not; 0 where it has no lower end
	HighMMPerS    float64 // 0 where Open
	Open          bool    // the interval has no upper end, as where no fall by the tolerance was seen
	Found         bool    // it lies within the speeds that were fed
	LowSpeedShort float64 // part of what was commanded that is missing at low speed; negative where too much is fed
	LowSpeedU95   float64 // expanded uncertainty of that; 0 where the climb began too fast to tell
	Grows         bool    // what is missing grows with speed, beyond what chance makes it look like
	Why           string  // what stands in the way where nothing was found
}

// leastSpeeds is one more than a level, a limit and a steepness need to be drawn through any points.
const leastSpeeds = 4

// KneeOf looks for the limit by least squares among laws that are flat and then fall (shape): the one that fits best gives
// the limit, and the interval holds every limit that some law makes fit about as well (the profile of the likelihood; from
// memory). Tolerance is a part of 1: 0.02.
//
// Two speeds at least must lie below all of the interval, or nothing was seen that it falls from. What all fractions have
// in common, such as a rule that is 1 % long, moves the level and not the limit, and belongs in no SD.
func KneeOf(points []Fed, tolerance float64) Knee {
	if why := unfit(points, tolerance); why != "" {
		return Knee{Open: true, Why: why}
	}
	k := profileOf(raised(points, tolerance), tolerance).knee(sinks(points))
	k.Found = k.Why == ""
	return k
}

// knee reads the limit from the profile, and takes back what was not seen: an upper end without a fall as deep as that, a
// lower end and a level without two speeds to rest on.
func (p profile) knee(sinks bool) Knee {
	k := Knee{Grows: sinks || p.flat.chi2-p.best.chi2 > p.allowance(2)}
	k.LowMMPerS, k.HighMMPerS, k.Open = p.interval()
	k.LowSpeedShort, k.LowSpeedU95 = p.level(k.Grows)
	if !k.Grows || p.best.limit > p.highest {
		k.HighMMPerS, k.Open = 0, true
	}
	if k.Grows && k.LowMMPerS < p.second {
		k.LowMMPerS, k.LowSpeedShort, k.LowSpeedU95 = 0, 0, 0
	}
	if k.Why = p.missing(k); k.Why == "" {
		k.LimitMMPerS = p.best.limit
	}
	return k
}

// sinks is whether a straight line through all points falls beyond its own uncertainty: for what falls by no law that is
// flat at first.
func sinks(points []Fed) bool {
	var line []Point
	for _, p := range points {
		line = append(line, Point{X: p.SpeedMMPerS, Y: p.Fraction, SDY: p.SD})
	}
	l, err := FitLine(line)
	return err == nil && l.B < -CoverageAt(l.Freedom)*l.SDB
}

// missing says why the best limit cannot be called found.
func (p profile) missing(k Knee) string {
	switch {
	case !k.Grows:
		return "nothing shows that what is fed falls with speed"
	case p.best.limit > p.highest:
		return "what is fed falls, but not by the tolerance up to the highest speed"
	case k.LowMMPerS == 0:
		return "what is fed may fall from the lowest speeds on: start lower"
	}
	return ""
}

// unfit says what is wrong with the points.
func unfit(points []Fed, tolerance float64) string {
	if !(tolerance > 0 && tolerance < 1) {
		return "the tolerance is a part between 0 and 1"
	}
	speeds := map[float64]bool{}
	for _, p := range points {
		if !finite(p.SpeedMMPerS, p.Fraction, p.SD, p.weight()) || p.SpeedMMPerS <= 0 || p.SD < 0 {
			return "a speed or a fraction is not a number that can be"
		}
		if (p.SD > 0) != (points[0].SD > 0) {
			return "standard deviations are stated for some points only"
		}
		speeds[p.SpeedMMPerS] = true
	}
	least := leastSpeeds
	if len(points) > 0 && points[0].SD == 0 {
		least++
	}
	if len(speeds) < least {
		return fmt.Sprintf("a limit shows from %d different speeds on", least)
	}
	return ""
}

// weight is one over the variance, 1 where none is stated.
func (f Fed) weight() float64 {
	if f.SD == 0 {
		return 1
	}
	return 1 / (f.SD * f.SD)
}
