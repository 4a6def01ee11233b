package piece

// writeFoot prints everything below the first band.
func (p *Piece) writeFoot(pen *pen) {
	for _, line := range p.spec.Before {
		pen.own(line)
	}
	pen.begin()
	p.purge(pen)
	p.layFoot(pen)
	p.arrow(pen)
}

// purge lays lines beside the piece until the melt stands as it does in printing. A tube hides more of what is pushed.
func (p *Piece) purge(pen *pen) {
	const along, apart, overClipsMM = 60.0, 1.2, 8.0
	lines := 2
	if p.spec.Held.Tube {
		lines = 4
	}
	x, y := p.row.purgeX, p.row.purgeY
	path := serpentine(pen.path[:0], x, x+along, y-apart*float64(lines-1), y, apart)
	for i, j := 0, len(path)-1; i < j; i, j = i+1, j-1 { // from the back, so that it ends at the front, away from the piece
		path[i], path[j] = path[j], path[i]
	}
	pen.path = path
	pen.raise(overClipsMM) // wherever homing has left it: nothing on the bed is hit on the way
	pen.travel(path[0], p.spec.Held.TravelMMPerS)
	pen.raise(p.spec.footHighMM())
	pen.lay(path, p.low(2*p.spec.Held.NozzleBoreMM))
}

// layFoot lays the common foot, one layer, slowly.
func (p *Piece) layFoot(pen *pen) {
	wide := footLineWide * p.spec.Held.NozzleBoreMM
	r := p.row
	path := serpentine(pen.path[:0], r.footLeft, r.rightMM+footRimMM, r.y-footRimMM, r.y+r.deepMM+footRimMM, 2*wide)
	pen.path = path
	pen.hop(path[0], p.spec.Held.TravelMMPerS, p.least())
	pen.lay(path, p.low(wide))
}

// low is a bead of the first layer.
func (p *Piece) low(wide float64) bead {
	high := p.spec.footHighMM()
	return bead{wide, high, p.spec.Held.slowly(footMMPerS, wide, high)}
}

// least is the shortest stroke of all bands: below the bands nothing is judged.
func (p *Piece) least() float64 {
	least := retractMost
	for i := range Bands {
		_, retract := p.spec.value(i)
		least = min(least, retract)
	}
	if p.spec.Held.Firmware {
		return 0 // it has not been told yet
	}
	return least
}

// arrow lays a head of an arrow on the foot, one layer high: it points to the first block, where the bands are counted.
func (p *Piece) arrow(pen *pen) {
	h := p.spec.Held
	pen.path = p.arrowPath(pen.path[:0])
	pen.raise(p.spec.footHighMM() + h.LayerMM)
	pen.hop(pen.path[0], h.TravelMMPerS, p.least())
	pen.lay(pen.path, bead{h.LineWidthMM, h.LayerMM, h.slowly(footMMPerS, h.LineWidthMM, h.LayerMM)})
}

func (p *Piece) arrowPath(path []point) []point {
	x, y, size := p.row.footLeft+1.5, p.row.y+p.row.deepMM/2, arrowMM/2
	return append(path, point{x, y - size}, point{x + size, y}, point{x, y + size})
}

// writeEnd takes the nozzle off the piece.
func (p *Piece) writeEnd(pen *pen) {
	corner := p.corner(Bands*p.spec.layers()%2 == 1)
	pen.known, pen.x, pen.y, pen.z = true, corner.x, corner.y, p.spec.HighMM()
	pen.begin()
	if !p.spec.Held.Firmware {
		_, retract := p.spec.value(Bands - 1)
		pen.draw(retract)
	}
	pen.raise(p.spec.HighMM() + liftAtEndMM)
	pen.travel(point{clearanceMM, p.spec.Machine.BuildMM[1] - clearanceMM}, p.spec.Held.TravelMMPerS)
	pen.say(0, word('M', 106), word('S', 0))
	for _, line := range p.spec.After {
		pen.own(line)
	}
	pen.say(0, word('M', 400))
}
