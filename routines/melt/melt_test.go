package melt

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// near reports whether two numbers agree to a relative tolerance.
func near(got, want, within float64) bool { return math.Abs(got-want) <= within*math.Abs(want)+1e-12 }

// TestPublishedValues holds each formula to a value from outside the project, or to what is common practice.
func TestPublishedValues(t *testing.T) {
	const mmHg = 133.322
	bore, thin := Fluid{K: 1e-3, N: 1}, Fluid{K: 5000, N: 0.184}
	rows := []struct {
		what, source      string
		got, want, within float64
	}{
		{"pressure for .120 cm3/s through r .150 mm, 2.50 cm, 1.00e-3 Pa·s", "OpenStax College Physics, 12.4, Example 12.8 (with P1 8.00 mmHg: 1.62e4 Pa)",
			bore.PressurePa(0.120e-6, 0.150e-3, 2.50e-2) + 8*mmHg, 16157, 2e-3},
		{"radius for half the flow", "OpenStax College Physics, 12.4, Example 12.7: 0.841",
			math.Pow(bore.FlowM3PerS(1, 1, 1)/bore.FlowM3PerS(2, 1, 1), 0.25), 0.841, 1e-3},
		{"flow through three times the length and 1.32 cm instead of .65 cm, n = .184", "Bird, Stewart, Lightfoot, Problem 8A.1, from memory: the same",
			thin.FlowM3PerS(1e5, 1.32e-2, 3) / thin.FlowM3PerS(1e5, 0.65e-2, 1), 1, 0.05},
		{"rod of 550 kg, 2.0 m, 0.30 cm2, 2.0e11 Pa, mm", "OpenStax University Physics 1, 12.3, Example 12.8: 1.8 mm",
			ShorteningMM(550*9.8, 2000, 2.0e5, 30), 1.8, 0.02},
		{"filament of 600 mm under 50 N, mm", "mechanics, 3500 MPa from memory", ShorteningMM(50, 600, 3500, AreaMM2(1.75)), 3.56, 2e-3},
		{"tube 4/2 under 10 N, mm", "mechanics, 500 MPa from memory", ShorteningMM(10, 600, 500, RingMM2(4, 2)), 1.27, 5e-3},
		{"slack of 1.75 in 2.0 at 90 degrees, mm", "geometry", SlackMM(1, 2.0, 1.75), 0.39, 1e-2},
		{"slack of 1.75 in 2.0 at 270 degrees, mm", "geometry", SlackMM(3, 2.0, 1.75), 1.18, 2e-3},
		{"slack of 2.85 in 4.0 at 90 degrees, mm", "geometry", SlackMM(1, 4.0, 2.85), 1.81, 2e-3},
		{"slack of 2.85 in 4.0 at 270 degrees, mm", "geometry", SlackMM(3, 4.0, 2.85), 5.42, 1e-3},
		{"gap of 10 mm at 100 mm/s and 1000 mm/s2, s", "kinematics", TravelS(10, 100, 1000), 0.200, 1e-9},
		{"the same at 300 mm/s, s", "kinematics", TravelS(10, 300, 1000), 0.200, 1e-9},
		{"gap of 40 mm at 150 mm/s, s", "kinematics", TravelS(40, 150, 1000), 0.417, 2e-3},
		{"gap of 40 mm at 175 mm/s, s", "kinematics", TravelS(40, 175, 1000), 0.404, 2e-3},
		{"gap of 40 mm at 200 mm/s and more, s", "kinematics", TravelS(40, 250, 1000), 0.400, 1e-9},
		{"useful speed of a stroke of 1 mm at 1000 mm/s2, mm/s", "kinematics", UsefulSpeedMMPerS(1, 1000), 31.6, 1e-3},
		{"filament of 1.75 mm, mm2", "geometry", AreaMM2(1.75), 2.405, 1e-3},
		{"filament of 2.85 mm, mm2", "geometry", AreaMM2(2.85), 6.379, 1e-3},
		{"50 mm of a curl of 100 mm read short, mm", "geometry: arc less chord", ChordShortMM(50, 100), 0.52, 0.02},
		{"20 mm of it, mm", "geometry", ChordShortMM(20, 100), 0.033, 0.02},
	}
	for _, r := range rows {
		if !near(r.got, r.want, r.within) {
			t.Errorf("%s: %.5g, want %.5g (%s)", r.what, r.got, r.want, r.source)
		}
	}
}

func TestPowerLawIsPoiseuilleAtOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, r, l := rapid.Float64Range(1e3, 1e7).Draw(t, "pressure"), rapid.Float64Range(1e-4, 1e-2).Draw(t, "radius"), rapid.Float64Range(1e-3, 1).Draw(t, "length")
		k, n := rapid.Float64Range(1e-3, 1e4).Draw(t, "k"), rapid.Float64Range(0.2, 1).Draw(t, "n")
		newton := Fluid{K: k, N: 1}
		if want := math.Pi * math.Pow(r, 4) * p / (8 * k * l); !near(newton.FlowM3PerS(p, r, l), want, 1e-9) {
			t.Fatalf("flow %g, want %g", newton.FlowM3PerS(p, r, l), want)
		}
		thin := Fluid{K: k, N: n}
		if back := thin.PressurePa(thin.FlowM3PerS(p, r, l), r, l); !near(back, p, 1e-6) {
			t.Fatalf("pressure %g came back as %g", p, back)
		}
		q := thin.FlowM3PerS(p, r, l)
		if wall := k * math.Pow(thin.WallShearPerS(q, r), n); !near(wall, p*r/(2*l), 1e-6) {
			t.Fatalf("wall stress %g, want %g", wall, p*r/(2*l))
		}
	})
}

// TestTravelAgainstSteps holds the closed form to a walk in small steps of time.
func TestTravelAgainstSteps(t *testing.T) {
	for _, c := range [][3]float64{{10, 100, 1000}, {40, 150, 1000}, {24, 200, 3000}, {0.5, 40, 5000}} {
		way, top, accel := c[0], c[1], c[2]
		const dt = 1e-6
		x, v, seconds := 0.0, 0.0, 0.0
		for x < way/2 {
			v = math.Min(v+accel*dt, top)
			x += v * dt
			seconds += dt
		}
		if got := TravelS(way, top, accel); !near(got, 2*seconds, 1e-3) {
			t.Errorf("%v: %g s, walked %g s", c, got, 2*seconds)
		}
	}
}

// TestEnoughSpeed: beyond it the longest travel gains less than 3 %, and it never passes the machine's own limit. That about
// 125 mm/s at 1000 mm/s2, 150 at 1500 and 200 at 3000 are enough over 24 mm is from our own simulation.
func TestEnoughSpeed(t *testing.T) {
	for _, c := range []struct{ accel, most, low, high float64 }{{1000, 300, 100, 150}, {1500, 300, 125, 175}, {3000, 300, 150, 225}, {3000, 120, 120, 120}} {
		h := Haste{LongestMM: 24, AccelMMPerS2: c.accel, MostMMPerS: c.most, StepMMPerS: 25, Within: 0.03}
		v := h.EnoughMMPerS()
		if v < c.low || v > c.high {
			t.Errorf("%+v: %g mm/s", c, v)
		}
		if TravelS(24, v, c.accel) > 1.03*TravelS(24, c.most, c.accel) {
			t.Errorf("%+v: %g mm/s is not enough", c, v)
		}
	}
}
