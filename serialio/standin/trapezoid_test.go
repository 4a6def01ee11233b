package standin

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Closed forms of textbook kinematics for a move from rest to rest: 2 sqrt(d/a) where v^2/a >= d, else d/v + v/a.
func TestATrapezoidTakesTheTimeOfItsClosedForm(t *testing.T) {
	for _, c := range []struct{ d, v, a, seconds float64 }{
		{10, 100, 1000, 0.200}, // 10 mm at 1000 mm/s2: 200 ms from 100 mm/s on, whatever the speed
		{10, 300, 1000, 0.200},
		{40, 150, 1000, 0.4166667}, // 40/150 + 150/1000
		{40, 175, 1000, 0.4035714},
		{40, 200, 1000, 0.400},
		{40, 500, 1000, 0.400},
		{100, 5.0 / 6, 1500, 120.000556}, // 100 mm of filament at 50 mm/min
	} {
		mustBe(t, "time", newTrapezoid(c.d, c.v, c.a).seconds(), c.seconds, 1e-6)
	}
}

func TestATrapezoidKeepsItsLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(1e-3, 500).Draw(t, "mm")
		v := rapid.Float64Range(0.1, 300).Draw(t, "mm/s")
		a := rapid.Float64Range(10, 5000).Draw(t, "mm/s2")
		way := newTrapezoid(d, v, a)
		const pieces = 1000
		h := way.seconds() / pieces
		before, speedBefore := 0.0, 0.0
		for i := 1; i <= pieces; i++ {
			at := way.part(float64(i)*h) * d
			speed := (at - before) / h
			if speed < -1e-6*v || speed > v*(1+1e-6) {
				t.Fatalf("speed %v at piece %d, limit %v", speed, i, v)
			}
			if i > 1 && math.Abs(speed-speedBefore)/h > a*(1+1e-3) {
				t.Fatalf("acceleration %v at piece %d, limit %v", (speed-speedBefore)/h, i, a)
			}
			before, speedBefore = at, speed
		}
		if math.Abs(before-d) > 1e-9*d {
			t.Fatalf("went %v of %v mm", before, d)
		}
	})
}
