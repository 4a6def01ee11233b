package feed_test

import (
	"testing"

	"fettle/routines/feed"
	"pgregory.net/rapid"
)

// A line of 0.5 by 0.2 mm takes 10 mm³/s at 100 mm/s, by plain geometry.
func TestTopSpeedOfALine(t *testing.T) {
	near(t, "top speed", feed.TopSpeedMMPerS(10, 0.5, 0.2), 100, 1e-9)
	near(t, "of no line", feed.TopSpeedMMPerS(10, 0, 0.2), 0, 0)
}

// Whatever is asked for and whatever the limits: what is fed rises, is never above them, and is never slowed down to fit.
func TestNothingIsFedAboveALimit(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		fastest := rapid.Float64Range(4, 60).Draw(rt, "fastest")
		fourth := fastest / 2 / 2.4 // mm/s of its fourth step, and a little more
		firmware := rapid.Float64Range(0.5, 30).Draw(rt, "firmware")
		c := newClimber(t, slips(rapid.Float64Range(2, 80).Draw(rt, "limit"), 5))
		c.m203 = m203(firmware)
		s := quick()
		s.FeedMaxMMPerS = rapid.Float64Range(fourth, 40).Draw(rt, "setup")
		order, err := asked(s, fastest)
		if err != nil {
			rt.Fatal(err)
		}
		c.run(order)
		most := min(s.FeedMaxMMPerS, firmware)
		for i, speed := range c.speeds {
			if speed > most {
				rt.Errorf("block %d at %g mm/s, above %g", i+1, speed, most)
			}
		}
		for i := 0; i < len(c.flows) && (i == 0 || c.flows[i] > c.flows[i-1]); i++ {
			if step := fastest / 8 * float64(i+1); c.flows[i] < step-0.02 || c.flows[i] > step+0.02 {
				rt.Errorf("block %d at %g mm³/s, where the step is %g", i+1, c.flows[i], step)
			}
		}
	})
}
