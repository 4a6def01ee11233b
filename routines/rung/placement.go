package rung

// A placement is where the eight bands of a piece may lie: equal rungs from a first length on, in steps.
type placement struct{ first, rung int }

// lengths are those of the bands A to H, bottom up.
func (p placement) lengths(b belief) []float64 {
	all := make([]float64, Bands)
	for i := range all {
		all[i] = b.scale.held(p.first+i*p.rung, b.start.CeilingMM)
	}
	return all
}

// rungsOf are the rungs in steps that leave room for eight bands below the ceiling, the widest first. A ceiling too low
// for the usual ones gets the widest that fits.
func rungsOf(s Start, sc scale) []int {
	var fit []int
	for _, mm := range s.rungs() {
		if k := sc.near(mm); k > 0 && Bands*k <= sc.top {
			fit = append(fit, k)
		}
	}
	if len(fit) == 0 {
		fit = []int{max(1, sc.top/Bands)}
	}
	return fit
}

// opening is the first piece: widest rungs, centred on the promised length. On a direct drive that is the whole range.
func opening(s Start, sc scale) placement {
	p := placement{rung: rungsOf(s, sc)[0]}
	p.first = sc.near(s.LikelyMM) - (Bands-1)*p.rung/2
	p.first = max(p.rung, min(p.first, sc.top-(Bands-1)*p.rung))
	return p
}

// candidates are all placements below the ceiling. On a tube every second first length is enough: even steps against odd
// rungs still fall between the bands of an earlier piece.
func candidates(s Start, sc scale) []placement {
	stride := 1
	if s.Tube {
		stride = 2
	}
	var all []placement
	for _, r := range rungsOf(s, sc) {
		for first := 1; first+(Bands-1)*r <= sc.top; first += stride {
			all = append(all, placement{first, r})
		}
	}
	return all
}

// best is the candidate that promises the most information, and how much.
func (b belief) best(l lens) (placement, float64) {
	best, most := placement{}, -1.0
	for _, p := range candidates(b.start, b.scale) {
		if gain := l.gain(p.lengths(b)); gain > most {
			best, most = p, gain
		}
	}
	return best, most
}
