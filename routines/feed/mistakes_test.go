package feed_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
)

// mistakes are what a person's hands and gauge get wrong in one check, mm. The half widths are those of the trade (common
// practice, no source) and of the gauge's own class, stated here once more and not taken from the budget.
type mistakes struct {
	rng         *rand.Rand
	divisionMM  float64
	limitMM     float64 // of the gauge, over the whole length
	commandedMM float64
	several     bool // several lengths against one mark: the gauge is put to the inlet anew each time

	scale, curl, pulled, short, seat float64 // the same in the whole check
	mark                             float64 // how far the last mark was set off

	radiusMM  float64 // of a curl beyond what the budget takes into account: filament that keeps the bend of its spool; 0: none
	slippedMM float64 // how far the far flag slips towards the spool
	slipsIn   int     // while so many feeds are done
}

// mistaken are the mistakes of a new check.
func mistaken(rng *rand.Rand, divisionMM, limitMM, commandedMM float64, several bool) *mistakes {
	m := &mistakes{rng: rng, divisionMM: divisionMM, limitMM: limitMM, commandedMM: commandedMM, several: several}
	arc := func(mm, bow float64) float64 { return 8 * bow * bow * mm / 3 } // arc less chord, for a bow as a part of the length
	m.scale, m.seat = m.within(limitMM), m.within(0.15)
	m.curl, m.pulled, m.short = m.within(arc(1.2*commandedMM, 1./40)), m.within(arc(commandedMM, 1./100)), m.within(arc(30, 1./40))
	return m
}

// within is anything up to half a width either way.
func (m *mistakes) within(half float64) float64 { return half * (2*m.rng.Float64() - 1) }

// read is a length as the gauge shows it: to the nearest division.
func (m *mistakes) read(mm float64) float64 {
	if m == nil {
		return mm
	}
	return math.Max(0, math.Round(mm/m.divisionMM)*m.divisionMM)
}

func (m *mistakes) setMark() {
	if m != nil {
		m.mark = m.within(0.3) + m.within(m.divisionMM/2)
	}
}

// leftover is what is read of a mark that is truly mm above the inlet, had it been set right.
func (m *mistakes) leftover(mm float64) float64 {
	switch {
	case m == nil:
		return mm
	case !m.several:
		return m.read(m.bent(mm) + m.mark + m.scale + m.curl + m.seat)
	}
	part := 1 - (mm-0.2*m.commandedMM)/m.commandedMM // scale and curl act on what has gone in
	return m.read(m.bent(mm) + m.mark + part*(m.scale+m.curl) + m.within(0.15) + m.within(0.1))
}

// bent is how far a mark seems to be that is mm away by what went in since it was set to 1.2 times what is commanded, where
// the filament lies in an arc: set by its chord, and read by its chord (plain geometry).
func (m *mistakes) bent(mm float64) float64 {
	if m.radiusMM == 0 {
		return mm
	}
	r, set := 2*m.radiusMM, 1.2*m.commandedMM
	return r * math.Sin((mm+r*math.Asin(set/r)-set)/r)
}

// chord is how long a piece of filament seems that lies in that arc.
func (m *mistakes) chord(mm float64) float64 {
	if m.radiusMM == 0 {
		return mm
	}
	return 2 * m.radiusMM * math.Sin(mm/2/m.radiusMM)
}

// otherWay answers for two flags and for a cut piece.
func (b *bench) otherWay(kind string) string {
	m := b.errs
	if m == nil {
		m = &mistakes{rng: rand.New(rand.NewPCG(1, 1)), divisionMM: 1e-9}
	}
	noise := func(half float64) float64 {
		if b.errs == nil {
			return 0
		}
		return m.within(half)
	}
	switch kind {
	case "flags":
		b.sinceMM = b.inMM
		b.farMM = b.proposed("flags_mm") + noise(0.49) // set about there, and truly so far apart
		return fmt.Sprintf(`{"flags_mm":%.9f}`, m.read(b.farMM+noise(0.1)+m.pulled))
	case "near":
		near := 25 + noise(0.49) - (b.inMM - b.sinceMM)
		b.sinceMM = b.inMM
		b.farMM += near
		return fmt.Sprintf(`{"near_mm":%.9f}`, m.read(m.chord(near)))
	case "far":
		far := b.farMM - (b.inMM - b.sinceMM)
		if m.slipsIn == len(b.feds) {
			far += m.slippedMM
		}
		if far < 0 {
			return `{"instead":"mark_went_in"}`
		}
		return fmt.Sprintf(`{"leftover_mm":%.9f}`, m.read(m.chord(far)+m.seat+m.short+m.scale))
	}
	return fmt.Sprintf(`{"piece_mm":%.9f}`, m.read(b.inMM-b.sinceMM+noise(0.2)+noise(0.2)+m.scale+m.pulled))
}

// proposed is a number of those shown with the question that is being answered.
func (b *bench) proposed(name string) float64 {
	b.t.Helper()
	shown := map[string]any{}
	raw, err := json.Marshal(b.questions[len(b.questions)-1].Shown)
	if err != nil || json.Unmarshal(raw, &shown) != nil {
		b.t.Fatalf("what is shown: %s, %v", raw, err)
	}
	mm, ok := shown[name].(float64)
	if !ok {
		b.t.Fatalf("no %s is shown: %s", name, raw)
	}
	return mm
}
