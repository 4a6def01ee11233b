package spool_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"fettle/routines"
	"fettle/routines/gauge"
)

// drawn is a spool of the test's own, with every part from its own distribution: how thick it is, how its thickness wanders
// from place to place (normal), how oval it is and which way that lies (any), what the caliper is off by all the time
// (rectangular within its limit), and the division it is read to (rectangular within half of it).
type drawn struct {
	rng                         *rand.Rand
	gauge                       gauge.Instrument
	meanMM, sdMM, ovalMM, offMM float64
	slipsOf100                  int

	place        int
	hereMM, turn float64
	slips        map[int]bool // readings that slipped; true: they were asked for again
	inVain       int          // readings that were asked for again without a slip
}

func (d *drawn) found() (n int) {
	for _, again := range d.slips {
		if again {
			n++
		}
	}
	return n
}

func draw(rng *rand.Rand, g gauge.Instrument, slipsOf100 int) *drawn {
	return &drawn{rng: rng, gauge: g, meanMM: 1.70 + 0.1*rng.Float64(), sdMM: 0.012 + 0.03*rng.Float64(), ovalMM: 0.05 * rng.Float64(),
		offMM: g.LimitMM(1.75) * (2*rng.Float64() - 1), slipsOf100: slipsOf100, slips: map[int]bool{}}
}

// read is what the person types. Where it is read again the place is found again only roughly, so that it is drawn anew.
func (d *drawn) read(q routines.Question) float64 {
	s := seen(q)
	if s.Place != d.place || s.Again {
		d.place, d.hereMM, d.turn = s.Place, d.meanMM+d.sdMM*d.rng.NormFloat64(), 2*math.Pi*d.rng.Float64()
	}
	turn := d.turn
	if s.Square {
		turn += math.Pi / 2
	}
	mm := d.hereMM + d.ovalMM/2*math.Cos(2*turn) + d.offMM
	_, slipped := d.slips[s.Reading]
	switch {
	case s.Again && slipped:
		d.slips[s.Reading] = true
	case s.Again:
		d.inVain++
	case d.rng.IntN(100) < d.slipsOf100: // jaws askew read wide
		d.slips[s.Reading] = false
		mm += 0.1 + 0.3*d.rng.Float64()
	}
	return math.Round(mm/d.gauge.DivisionMM) * d.gauge.DivisionMM
}

// The stated interval holds the true mean about as often as it says, over 2,000 spools, also where one reading in a hundred
// slips. Without slips hardly anybody is asked to read again, and where there are some most are found.
func TestIntervalsHoldTheTruth(t *testing.T) {
	const spools = 2000
	for _, name := range []string{"digital_caliper", "caliper", "vernier_caliper"} {
		g, _ := gauge.Named(name)
		for _, slipsOf100 := range []int{0, 1} {
			rng := rand.New(rand.NewPCG(2026, uint64(17+slipsOf100)))
			o := begin(t, fitted(1.75), fmt.Sprintf(`{"gauge":%q}`, name))
			held, slips, found, inVain, kinds := 0, 0, 0, 0, map[string]int{}
			for range spools {
				d := draw(rng, g, slipsOf100)
				f := (&bench{read: d.read}).run(t, o)
				kinds[f.Kind]++
				slips, found, inVain = slips+len(d.slips), found+d.found(), inVain+d.inVain
				if v := value(t, f, "filament_diameter_mm"); math.Abs(v.Value-d.meanMM) <= *v.U95 {
					held++
				}
			}
			percent := 100 * float64(held) / spools
			t.Logf("%s, %d of 100 readings slip: %.1f %% of %d intervals hold; %d of %d slips read again, and %d readings in vain; %v", name, slipsOf100, percent, spools, found, slips, inVain, kinds)
			if percent < 93 || percent > 98.5 { // where one rectangular part rules, a factor of 2 holds more than 95
				t.Errorf("%s, %d of 100 slip: %.1f %% hold", name, slipsOf100, percent)
			}
			if inVain > spools/12 || found < slips*2/3 {
				t.Errorf("%s, %d of 100 slip: %d of %d read again, and %d in vain", name, slipsOf100, found, slips, inVain)
			}
		}
	}
}
