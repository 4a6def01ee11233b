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
	LowMMPerS     float64 // of an interval of about 95 %, found or not; 0: no lower end
	HighMMPerS    float64 // 0 where Open
	Open          bool    // the interval has no upper end, as where no fall by the tolerance was seen
	Found         bool    // it lies within the speeds that were fed
	LowSpeedShort float64 // part of what was commanded that is missing at low speed; negative where too much is fed
	LowSpeedU95   float64 // expanded uncertainty of that
	Grows         bool    // what is missing grows with speed, beyond what chance makes it look like
	Why           string  // what stands in the way where nothing was found
}

// leastSpeeds is one more than a level, a limit and a steepness need to be drawn through any points.
const leastSpeeds = 4

// KneeOf looks for the limit by least squares among laws that are flat and then fall (shape): the one that fits best gives
// the limit, and the interval holds every limit that some law makes fit about as well (the profile of the likelihood; from
// memory). Tolerance is a part of 1: 0.02.
//
// What all fractions have in common, such as a rule that is 1 % long, moves the level and not the limit, and belongs in no
// SD.
func KneeOf(points []Fed, tolerance float64) Knee {
	if why := unfit(points, tolerance); why != "" {
		return Knee{Open: true, Why: why}
	}
	p := profileOf(raised(points, tolerance), tolerance)
	k := Knee{Grows: p.flat.chi2-p.best.chi2 > p.allowance(2) || sinks(points)}
	k.LowSpeedShort, k.LowSpeedU95 = p.level(k.Grows)
	k.LowMMPerS, k.HighMMPerS, k.Open = p.interval()
	k.Why = p.missing(k.Grows)
	k.Found = k.Why == ""
	if k.Found {
		k.LimitMMPerS = p.best.limit
	} else if p.best.limit > p.lowest {
		k.HighMMPerS, k.Open = 0, true
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
func (p profile) missing(grows bool) string {
	switch {
	case !grows:
		return "nothing shows that what is fed falls with speed"
	case p.best.limit > p.highest:
		return "what is fed falls, but not by the tolerance up to the highest speed"
	case p.best.limit <= p.lowest:
		return "what is fed falls from the lowest speed on: start lower"
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
		if !finite(p.SpeedMMPerS, p.Fraction, p.SD) || p.SpeedMMPerS <= 0 || p.SD < 0 {
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
