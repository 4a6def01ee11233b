package rung

import (
	"testing"
)

// A kind of machines with what is demanded of them, as parts of the ladders.
type kind struct {
	name       string
	tube, wide bool
	scatter    float64
	p90        int
}

func kinds() []kind {
	return []kind{
		{"direct, trained", false, false, 0.35, 6},
		{"direct, casual", false, false, 0.6, 6},
		{"tube, trained", true, false, 0.35, 6},
		{"tube, casual", true, false, 0.6, 9},
		{"direct 2.85, casual", false, true, 0.6, 6},
		{"tube 2.85, casual", true, true, 0.6, 9},
	}
}

func TestLaddersEndRight(t *testing.T) {
	count := machines(t)
	t.Logf("our own simulation, %d machines of each kind; right: within 0.25 mm, or truly none", count)
	t.Logf("%-22s %-18s %6s %6s %5s %7s", "machines, rater", "way", "median", "mean", "p90", "right")
	ways := []struct {
		name   string
		follow way
	}{
		{"chooser", func(s specimen, r *rater) ending { return ladder(t, s, r) }},
		{"until no better", climbUntilNoBetter},
		{"until clean", climbUntilClean},
	}
	for _, k := range kinds() {
		for _, w := range ways {
			got := many(count, k.scatter, func(i uint64) specimen { return specimenOf(i, k.tube, k.wide) }, w.follow)
			t.Logf("%-22s %-18s %6d %6.2f %5d %5.1f %%", k.name, w.name, got.percentile(0.5), got.mean(), got.percentile(0.9),
				100-100*float64(got.misses)/float64(count))
		}
	}
}
