package gauge_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"fettle/routines/gauge"
)

// A slip is a law of these tests' own: which part of what is commanded is lost at a speed, where the limit is known.
// It is 0.02 at the limit.
type slip struct {
	name string
	lost func(speed, limit float64) float64
}

const slipTolerance = 0.02

func slips() []slip {
	return []slip{
		{"fourth power of the flow", func(v, limit float64) float64 { return slipTolerance * math.Pow(v/limit, 4) }},
		{"exponential", func(v, limit float64) float64 {
			return slipTolerance * math.Expm1(5*v/limit) / math.Expm1(5)
		}},
		{"straight from a knee on", func(v, limit float64) float64 {
			return slipTolerance * math.Max(0, v-0.8*limit) / (0.2 * limit)
		}},
		{"lets go", func(v, limit float64) float64 { return slipTolerance * math.Exp(60*(v/limit-1)) }},
	}
}

// A climb is speeds rising evenly until what is fed has fallen well below the start, or the machine's own limit.
type climb struct {
	limit, level float64
	points       []gauge.Fed
}

func climbOf(s slip, stated bool, rng *rand.Rand) climb {
	c := climb{limit: 2 + 10*rng.Float64(), level: 0.95 + 0.1*rng.Float64()}
	sd, steps := 0.002+0.008*rng.Float64(), 7+rng.IntN(8)
	highest := c.limit * (1.2 + 0.4*rng.Float64())
	for i := range steps {
		v := highest * float64(i+1) / float64(steps)
		p := gauge.Fed{SpeedMMPerS: v, Fraction: c.level*math.Max(0, 1-s.lost(v, c.limit)) + sd*rng.NormFloat64()}
		if stated {
			p.SD = sd
		}
		c.points = append(c.points, p)
		if s.lost(v, c.limit) > 0.15 {
			break
		}
	}
	return c
}

// tally counts what came of many climbs.
type tally struct{ all, found, held, low, high, levels, grows int }

func (n *tally) add(c climb, k gauge.Knee) {
	n.all++
	if k.Found {
		n.found++
	}
	if k.Grows {
		n.grows++
	}
	switch {
	case c.limit < k.LowMMPerS:
		n.low++
	case !k.Open && c.limit > k.HighMMPerS:
		n.high++
	default:
		n.held++
	}
	if math.Abs(1-c.level-k.LowSpeedShort) <= k.LowSpeedU95 {
		n.levels++
	}
}

// The true limit must lie within the stated interval in at least 90 % of 500 climbs of each law, also of those that are no
// shape of the fit, by an interval that still says something. Run with -v for the figures.
func TestKneeIntervalHoldsTheTrueLimit(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of simulated checks take longer than -short allows")
	}
	const draws = 500
	for _, s := range slips() {
		for _, stated := range []bool{true, false} {
			rng := rand.New(rand.NewPCG(2026, 14))
			var n tally
			width := 0.0
			for range draws {
				c := climbOf(s, stated, rng)
				k := gauge.KneeOf(c.points, slipTolerance)
				n.add(c, k)
				if k.Found && !k.Open {
					width += (k.HighMMPerS - k.LowMMPerS) / 2 / c.limit
				}
			}
			t.Logf("%-25s SD stated %-5v: held %.1f %% (below %d, above %d), found %.1f %%, level held %.1f %%, ±%.1f %%", s.name, stated,
				percent(n.held, n.all), n.low, n.high, percent(n.found, n.all), percent(n.levels, n.all), 100*width/float64(n.found))
			if percent(n.held, n.all) < 90 || percent(n.levels, n.all) < 90 {
				t.Errorf("%s, SD stated %v: limit held in %.1f %%, level in %.1f %%", s.name, stated,
					percent(n.held, n.all), percent(n.levels, n.all))
			}
			if percent(n.found, n.all) < 90 || width/float64(n.found) > 0.25 {
				t.Errorf("%s, SD stated %v: found in %.1f %%, ±%.1f %% wide", s.name, stated,
					percent(n.found, n.all), 100*width/float64(n.found))
			}
		}
	}
}
