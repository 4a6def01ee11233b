package rung

// judged says whether a confirming piece is sufficient: no gap shows more than hairs in most of its bands, and most of
// its bands have no voids without strings. Single looks may be off by a grade; bands of equal length differ in nothing
// but the look.
func judged(p Print) bool {
	worst := map[float64][]int{}
	good, voids := 0, 0
	for _, b := range p.Bands {
		looks := b.looks()
		if !b.seen() {
			continue
		}
		good++
		if b.Voids {
			voids++
		}
		for _, g := range looks {
			worst[g.MM] = append(worst[g.MM], g.Grade)
		}
	}
	for _, list := range worst {
		if !mostlyHairs(list) {
			return false
		}
	}
	return good > Bands/2 && 2*voids <= good
}

// mostlyHairs says whether more than half of the grades are hairs or clean.
func mostlyHairs(list []int) bool {
	few := 0
	for _, g := range list {
		if g <= 1 {
			few++
		}
	}
	return 2*few > len(list)
}
