package feed_test

import (
	"math"
	"testing"

	"fettle/routines"
	"fettle/routines/feed"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance || math.IsNaN(got) {
		t.Errorf("%s = %.6g, want %.6g ± %.2g", what, got, want, tolerance)
	}
}

// Plain proportion, by hand: 93.00 × 100/98.4 and 93.00 × 100/103.2.
func TestNewStepsPerMM(t *testing.T) {
	near(t, "98.4 of 100", feed.NewStepsPerMM(93, 100, 98.4), 94.512, 0.0005)
	near(t, "103.2 of 100", feed.NewStepsPerMM(93, 100, 103.2), 90.116, 0.0005)
}

// Textbook mechanics: 200 × 16 / (π × 11 mm) and 200 × 16 × 3 / (π × 7.5 mm).
func TestExpectedStepsPerMM(t *testing.T) {
	near(t, "direct gear", feed.ExpectedStepsPerMM(routines.Gear{StepsPerRev: 200, Microsteps: 16, Ratio: 1, EffectiveDiameterMM: 11}), 92.60, 0.005)
	near(t, "3:1 gear", feed.ExpectedStepsPerMM(routines.Gear{StepsPerRev: 200, Microsteps: 16, Ratio: 3, EffectiveDiameterMM: 7.5}), 407.44, 0.005)
}

// 2 mm³/s is 50 mm/min of 1.75 mm filament and 19 of 2.85 (common practice, no source, recomputed).
func TestSpeedServesBothDiametersAlike(t *testing.T) {
	near(t, "1.75, mm/min", 60*feed.SpeedMMPerS(2, direct().FilamentAreaMM2()), 50, 0.5)
	near(t, "2.85, mm/min", 60*feed.SpeedMMPerS(2, bowden().FilamentAreaMM2()), 19, 0.5)
	near(t, "1.75, mm²", direct().FilamentAreaMM2(), 2.405, 0.0005)
	near(t, "2.85, mm²", bowden().FilamentAreaMM2(), 6.379, 0.0005)
}

func TestMarkDistance(t *testing.T) {
	near(t, "of 100", feed.MarkDistanceMM(100), 120, 1e-9)
	near(t, "of 50", feed.MarkDistanceMM(50), 70, 1e-9)
	near(t, "of 200", feed.MarkDistanceMM(200), 240, 1e-9)
}

// Whatever the rule, the mark of the longest feed leaves 30 mm of it to hold: 50 mm on a rule of 100, 225 on one of 300.
func TestLongestFeedLeavesTheRuleToHold(t *testing.T) {
	near(t, "on 100", feed.LongestFeedMM(100), 50, 1e-9)
	near(t, "on 300", feed.LongestFeedMM(300), 225, 1e-9)
	for ruleMM := 100.0; ruleMM <= 2000; ruleMM += 10 {
		near(t, "left to hold", ruleMM-feed.MarkDistanceMM(feed.LongestFeedMM(ruleMM)), 30, 1e-9)
	}
}
