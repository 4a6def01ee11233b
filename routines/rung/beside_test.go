package rung

import "testing"

// TestLaddersBesideTheModel follows ladders where what the chooser takes for granted does not hold: on tubes, with the
// casual rater. Our own simulation too; the figures are there to be looked at, and to hold that nothing breaks.
func TestLaddersBesideTheModel(t *testing.T) {
	k, count := kinds()[3], max(12, machines(t)/4)
	t.Logf("our own simulation, %d tubes, casual rater", count)
	for _, c := range []struct {
		name  string
		spoil func(*specimen, *rater)
		right float64
	}{
		{"as it should be", func(*specimen, *rater) {}, 0.9},
		{"one look a band", func(_ *specimen, r *rater) { r.gaps = []float64{0} }, 0.85},
		{"start at half", func(s *specimen, _ *rater) { s.start.LikelyMM /= 2 }, 0.85},
		{"start at twice", func(s *specimen, _ *rater) { s.start.LikelyMM *= 2 }, 0.85},
		{"set up as direct", func(s *specimen, _ *rater) { s.start.Tube = false }, 0.85},
		{"threads uneven by 15 %", func(s *specimen, _ *rater) { s.uneven = 0.15 }, 0.85},
		// A harsh eye looks like worse strings: nothing in the grades tells them apart.
		{"half a grade harsh", func(_ *specimen, r *rater) { r.harsh = 0.5 }, 0.5},
		{"half a grade mild", func(_ *specimen, r *rater) { r.harsh = -0.5 }, 0.75},
	} {
		got := many(count, k.scatter, k.specimen, func(s specimen, r *rater) ending {
			c.spoil(&s, r)
			return ladder(t, s, r)
		})
		show(t, c.name, "chooser", got)
		if right := 1 - float64(got.misses)/float64(count); right < c.right {
			t.Errorf("%s: right %.2f, want %.2f", c.name, right, c.right)
		}
	}
}
