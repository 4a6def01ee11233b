package rung

import (
	"math"
	"slices"
	"testing"
)

// A kind of machines and rater, with what is demanded of the ladders on them.
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

func (k kind) specimen(seed uint64) specimen { return specimenOf(seed, k.tube, k.wide) }

// TestLaddersEndRight prints and holds the figures of this room. All of them are of our own simulation.
//
//	RUNG_MACHINES=400 go test -run LaddersEndRight -v ./routines/rung
func TestLaddersEndRight(t *testing.T) {
	count := machines(t)
	t.Logf("our own simulation, %d machines of each kind; right: within 0.25 mm of the shortest sufficient length, or truly none", count)
	t.Logf("%-22s %-16s %6s %5s %4s %4s %7s", "machine, rater", "way", "median", "mean", "p90", "most", "right")
	choose := func(s specimen, r *rater) ending { return ladder(t, s, r) }
	var pooled tally
	for _, k := range kinds() {
		got := many(count, k.scatter, k.specimen, choose)
		show(t, k.name, "chooser", got)
		plain, clean := many(count, k.scatter, k.specimen, climbUntilNoBetter), many(count, k.scatter, k.specimen, climbUntilClean)
		show(t, "", "until no better", plain)
		show(t, "", "until clean", clean)
		demand(t, k, got)
		if k.tube {
			beats(t, k, got, plain, clean)
		}
		pooled.prints = append(pooled.prints, got.prints...)
		pooled.ends = append(pooled.ends, got.ends...)
		pooled.misses, pooled.none, pooled.why = pooled.misses+got.misses, pooled.none+got.none, pooled.why+got.why
	}
	show(t, "all of them", "chooser", pooled)
	if p := pooled.percentile(0.9); p > 6 {
		t.Errorf("%d prints at the 90th percentile of all, want at most 6", p)
	}
	t.Logf("no length serves %d machines; why not is told right of %d", pooled.none, pooled.why)
	if 4*(pooled.why+2) < 3*pooled.none {
		t.Errorf("why no length serves is told right of %d in %d, want about three quarters", pooled.why, pooled.none)
	}
	holdOutlook(t, pooled)
}

func show(t *testing.T, name, way string, got tally) {
	t.Helper()
	t.Logf("%-22s %-16s %6d %5.2f %4d %4d %5.1f %%", name, way, got.percentile(0.5), got.mean(), got.percentile(0.9),
		slices.Max(got.prints), 100-100*float64(got.misses)/float64(len(got.ends)))
}

// demand holds a kind to 20 misses in 400; fewer machines have the luck of the draw on top.
func demand(t *testing.T, k kind, got tally) {
	t.Helper()
	count := float64(len(got.ends))
	most := int(count / 20)
	if count < 400 {
		most += int(math.Ceil(math.Sqrt(count / 20)))
	}
	if got.misses > most {
		t.Errorf("%s: %d misses in %.0f, want at most %d", k.name, got.misses, count, most)
	}
	if p := got.percentile(0.5); p > 3 {
		t.Errorf("%s: %d prints at the median, want at most 3", k.name, p)
	}
	if p := got.percentile(0.9); p > k.p90 {
		t.Errorf("%s: %d prints at the 90th percentile, want at most %d", k.name, p, k.p90)
	}
}

// holdOutlook compares what was said about the prints to come with what came.
func holdOutlook(t *testing.T, got tally) {
	t.Helper()
	for n := range 4 {
		said, came, count := 0.0, 0.0, 0.0
		for _, e := range got.ends {
			if n < len(e.left) {
				said, came, count = said+e.left[n], came+float64(e.prints-n), count+1
			}
		}
		if count < 15 {
			break
		}
		t.Logf("before print %d, %.0f ladders: %.2f prints said to be left, %.2f came", n+1, count, said/count, came/count)
		if math.Abs(said-came) > 0.5*count {
			t.Errorf("before print %d: %.2f prints said to be left, %.2f came", n+1, said/count, came/count)
		}
	}
}

// beats: on tubes the climb that ends when nothing gets better ends on the plateau, and the one that goes on until clean
// takes its time and is no better for it.
func beats(t *testing.T, k kind, chosen, plain, clean tally) {
	t.Helper()
	if count := len(chosen.ends); 2*(count-plain.misses) > count-chosen.misses {
		t.Errorf("%s: until no better is right %d times of %d, the chooser %d", k.name, count-plain.misses, count, count-chosen.misses)
	}
	if 2*chosen.mean() > clean.mean() || chosen.misses > clean.misses {
		t.Errorf("%s: until clean %.1f prints and %d misses; the chooser %.1f and %d", k.name, clean.mean(), clean.misses, chosen.mean(), chosen.misses)
	}
}
