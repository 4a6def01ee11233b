package standin

import "math/rand/v2"

// occasion is where a lie can be told.
type occasion int

const (
	atLine    occasion = iota // a numbered line is about to be obeyed
	atRefusal                 // a line is about to be asked for again
	atOK                      // an ok is about to be said
	atReading                 // the nozzle's temperature is about to be reported
	atWill                    // nothing has happened
	occasions
)

// trick is how a lie is told: where it strikes, and what it does there.
type trick struct {
	lie  Lie
	at   occasion
	tell func(*Firmware, *moment)
}

// moment is what a trick can bend.
type moment struct {
	line    heard   // at a line and a refusal
	dealt   bool    // nothing more is to be done about it
	text    []byte  // at an ok: what will be said, without its line end; nil: nothing
	celsius float64 // at a reading
}

// Lies are all there are.
func Lies() []Lie {
	all := make([]Lie, len(tricks))
	for i, t := range tricks {
		all[i] = t.lie
	}
	return all
}

// liar draws the lies of a printer. It goes on over resets. A printer that does not lie has none.
type liar struct {
	rng     *rand.Rand
	tempted [occasions][]temptation
}

type temptation struct {
	trick
	chance float64
	told   int
}

// newLiar passes over lies that nobody knows.
func newLiar(p *Profile) *liar {
	if len(p.Lies) == 0 {
		return nil
	}
	l := &liar{rng: rand.New(rand.NewPCG(p.Seed, 0x11e5))}
	for _, chosen := range p.Lies {
		for _, t := range tricks {
			if t.lie == chosen.Lie {
				l.tempted[t.at] = append(l.tempted[t.at], temptation{trick: t, chance: chosen.Chance})
			}
		}
	}
	return l
}

// Told is how often a lie has been told since the power came on.
func (f *Firmware) Told(lie Lie) (times int) {
	if f.liar == nil {
		return 0
	}
	for _, all := range f.liar.tempted {
		for _, t := range all {
			if t.lie == lie {
				times += t.told
			}
		}
	}
	return times
}

func (l *liar) mayLie(at occasion) bool { return l != nil && len(l.tempted[at]) > 0 }

// tempt tells at most one lie.
func (f *Firmware) tempt(at occasion, m moment) moment {
	all := f.liar.tempted[at]
	for i := range all {
		if f.liar.rng.Float64() < all[i].chance {
			all[i].told++
			return all[i].bend(f, m)
		}
	}
	return m
}

// bend tells the lie, and returns what has become of the moment.
func (t *temptation) bend(f *Firmware, m moment) moment {
	t.tell(f, &m)
	return m
}

// between draws a number from low up to, but not including, high.
func (l *liar) between(low, high int) int { return low + l.rng.IntN(high-low) }
