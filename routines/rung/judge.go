package rung

// judged says whether a confirming piece is sufficient: no gap shows more than hairs in at least half of its bands, and
// no more than half of its bands have voids without strings. Single looks may be off by a grade; bands of equal length
// differ in nothing but the look. Where every gap shows hairs at most, narrowest and widest differ by one grade at most.
func judged(p Print) bool {
	byGap := map[float64][]int{}
	bands, voids := 0, 0
	for _, b := range p.Bands {
		if !b.seen() {
			continue
		}
		bands++
		if b.Voids {
			voids++
		}
		for _, g := range b.looks() {
			byGap[g.MM] = append(byGap[g.MM], g.Grade)
		}
	}
	for _, list := range byGap {
		if !halfHairs(list) {
			return false
		}
	}
	return 2*bands > len(p.Bands) && 2*voids <= bands
}

// halfHairs says whether at least half of the grades are hairs or clean.
func halfHairs(list []int) bool {
	few := 0
	for _, g := range list {
		if g <= 1 {
			few++
		}
	}
	return 2*few >= len(list)
}
