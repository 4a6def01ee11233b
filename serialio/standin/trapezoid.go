package standin

import (
	"math"
	"time"
)

// trapezoid is one move from rest to rest: up with an even acceleration, along at the top speed, down again. Where the
// way is too short for the top speed it is a triangle. Textbook kinematics.
type trapezoid struct {
	distMM  float64
	peak    float64 // mm/s that is reached
	rampS   float64 // seconds up, and down
	cruiseS float64
}

// newTrapezoid wants numbers above zero.
func newTrapezoid(distMM, speedMMPerS, accelMMPerS2 float64) trapezoid {
	peak := math.Min(speedMMPerS, math.Sqrt(distMM*accelMMPerS2))
	ramp := peak / accelMMPerS2
	return trapezoid{distMM, peak, ramp, math.Max(0, distMM/peak-ramp)}
}

// seconds is the time it takes: d/v + v/a, or 2 sqrt(d/a).
func (t trapezoid) seconds() float64 { return 2*t.rampS + t.cruiseS }

// duration never comes out shorter than the move.
func (t trapezoid) duration() time.Duration {
	const longest = 1e6 // seconds; a clock must not overflow
	return time.Duration(math.Ceil(math.Min(t.seconds(), longest) * 1e9))
}

// part is how much of the way lies behind after a time: 0 to 1.
func (t trapezoid) part(s float64) float64 {
	total := t.seconds()
	switch {
	case s <= 0:
		return 0
	case s >= total:
		return 1
	case s < t.rampS:
		return t.peak / t.rampS * s * s / 2 / t.distMM
	case s > total-t.rampS:
		left := total - s
		return 1 - t.peak/t.rampS*left*left/2/t.distMM
	}
	return (t.peak*t.rampS/2 + t.peak*(s-t.rampS)) / t.distMM
}
