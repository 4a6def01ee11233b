package cable

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"fettle/routines"
)

// With no event counted the limit is ln 20: e^-m = 0.05. The others are of the usual table of one-sided limits of 95 %
// (Garwood, Fiducial limits for the Poisson distribution, Biometrika 28, 1936; the figures from memory).
func TestUpperLimit95(t *testing.T) {
	for counted, want := range map[float64]float64{0: math.Log(20), 1: 4.744, 2: 6.296, 3: 7.754, 5: 10.513, 10: 16.962, 20: 29.062} {
		if got := UpperLimit95(counted); math.Abs(got-want) > 0.0006 {
			t.Errorf("%g counted: %.4f, want %.3f", counted, got, want)
		}
	}
}

// The limit is what it says: means below it give so few events in more than 5 % of the cases, means above it in fewer.
func TestUpperLimit95IsOne(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for _, counted := range []int{0, 3, 12} {
		mean, few := UpperLimit95(float64(counted)), 0
		const tries = 100_000
		for range tries {
			if poisson(random, mean) <= counted {
				few++
			}
		}
		if share := float64(few) / tries; math.Abs(share-0.05) > 4*math.Sqrt(0.05*0.95/tries) {
			t.Errorf("%d or fewer of %.3f in %.4f of the cases", counted, mean, share)
		}
	}
}

// poisson counts how many exponential waits fit into the mean.
func poisson(random *rand.Rand, mean float64) (n int) {
	for at := random.ExpFloat64(); at <= mean; at += random.ExpFloat64() {
		n++
	}
	return n
}

// That two flipped bits of n bytes pass an XOR in (n-1)/(8n-1) of all pairs is counted here over all pairs of places.
func TestPairsOfBitsThatAnXORMisses(t *testing.T) {
	for _, n := range []int{10, 20, 34, 60} {
		pairs, missed := 0, 0
		for a := range 8 * n {
			for b := range a {
				pairs++
				if sum := byte(1)<<(a%8) ^ byte(1)<<(b%8); sum == 0 {
					missed++
				}
			}
		}
		share := float64(missed) / float64(pairs)
		if want := float64(n-1) / float64(8*n-1); math.Abs(share-want) > 1e-12 || share >= 1.0/8 {
			t.Errorf("%d bytes: %g, want %g", n, share, want)
		}
	}
}

// With a bit flipped at random so that r of the lines are hit, the share of lines that are wrong and pass is at most r²/16.
func TestWrongLinesFollowFromThoseSentAgain(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	const lines, n, r = 4_000_000, 34, 0.05
	hit, wrong := 0, 0
	for range lines {
		flips := poisson(random, -math.Log(1-r)) // so that a share r has at least one
		var sum byte
		for range flips {
			sum ^= 1 << random.IntN(8)
		}
		if flips > 0 {
			hit++
		}
		if flips > 1 && sum == 0 {
			wrong++
		}
	}
	got, most := float64(wrong)/lines, r*r/16
	if share := float64(hit) / lines; math.Abs(share-r) > 0.001 {
		t.Fatalf("%g are hit", share)
	}
	if got > most*1.15 || got < most*0.85 { // 4 standard deviations of 600 are 16 %
		t.Errorf("%g are wrong and pass, r²/16 is %g", got, most)
	}
}

func TestGoodForLines(t *testing.T) {
	for _, c := range []struct {
		lines   int
		damaged uint64
		want    float64
	}{ // 0.16 / (limit / lines)²
		{5000, 0, 445_709}, {500, 0, 4457}, {5000, 1, 177_762}, {5000, 3, 66_529}, {5000, 20, 4735}, {0, 0, 0}, {200_000, 0, 1_000_000},
	} {
		if got := GoodForLines(c.lines, c.damaged); math.Abs(got-c.want) > c.want*0.001 {
			t.Errorf("%d of %d damaged: good for %g, want %g", c.damaged, c.lines, got, c.want)
		}
	}
}

func TestMoreDamageIsNeverBetter(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		lines, damaged := rapid.IntRange(500, 200_000).Draw(rt, "lines"), rapid.Uint64Range(0, 500).Draw(rt, "damaged")
		if more := GoodForLines(lines, damaged+1); more > GoodForLines(lines, damaged) {
			rt.Fatalf("with one more it is good for %g", more)
		}
	})
}

func TestJudge(t *testing.T) {
	clean := routines.Streamed{Lines: 5000, OfLines: 5000, Bytes: 110_000, TookS: 20, SlowestMS: 30}
	for _, c := range []struct {
		name   string
		change func(*sent)
		kind   string
	}{
		{"clean", func(*sent) {}, Fit},
		{"asked after without damage", func(s *sent) { s.AskedAfter = 40 }, Fit},
		{"two of 5000", func(s *sent) { s.SentAgain = 2 }, Fit},
		{"twenty of 5000", func(s *sent) { s.SentAgain = 20 }, Noisy},
		{"answers damaged", func(s *sent) { s.Garbled = 40 }, Noisy},
		{"a board that says what it likes", func(s *sent) { s.Garbled = 8 }, Fit},
		{"near what the line allows", func(s *sent) { s.SentAgain = 6 }, Noisy}, // 18 a minute
		{"gave up", func(s *sent) { s.Lines, s.GaveUp = 12, "out of step" }, Noisy},
		{"gave up at once", func(s *sent) { s.Lines, s.GaveUp = 0, "out of step" }, Noisy},
		{"too few lines a second", func(s *sent) { s.TookS = 101 }, Slow},
		{"held for long", func(s *sent) { s.TookS, s.PausedS = 1000, 980 }, Fit},
		{"one answer late", func(s *sent) { s.SlowestMS = 1400 }, Slow},
		{"noise before slowness", func(s *sent) { s.SentAgain, s.TookS = 200, 300 }, Noisy},
		{"few lines", func(s *sent) { s.Lines, s.TookS = 500, 2 }, Fit},
		{"one of few lines", func(s *sent) { s.Lines, s.SentAgain, s.TookS = 500, 1, 2 }, Noisy},
	} {
		s := sent{Streamed: clean}
		c.change(&s)
		v := judge(s)
		f := v.finding()
		if v.kind != c.kind || f.Headline == "" || f.Reason == "" || (f.Kind == Fit) != (len(f.Notes) == 0) {
			t.Errorf("%s: %s, want %s: %+v", c.name, v.kind, c.kind, f)
		}
		t.Logf("%s: %s %s", c.name, f.Headline, f.Reason)
	}
}
