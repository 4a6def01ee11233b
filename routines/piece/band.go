package piece

import "fettle/serialio/gcode"

// writeBand prints one band, layer by layer, each from one block over the posts to the other and the next one back.
func (p *Piece) writeBand(pen *pen, band int) {
	s := p.spec
	p.stand(pen, band)
	pen.begin()
	travel, retract := s.value(band)
	if s.Held.Firmware {
		pen.firmware(retract)
	}
	layers := s.layers()
	for layer := range layers {
		p.writeLayer(pen, band, layer, (band*layers+layer)%2 == 1, travel, retract)
		if pen.done {
			return
		}
	}
}

// stand is where the part before a band has left the head. It is only to know how long the way from there takes.
func (p *Piece) stand(pen *pen, band int) {
	tip := p.arrowPath(nil)
	pen.known, pen.x, pen.y, pen.z = true, tip[len(tip)-1].x, tip[len(tip)-1].y, p.spec.footHighMM()+p.spec.Held.LayerMM
	if band > 0 {
		fromRight := (band*p.spec.layers())%2 == 1
		corner := p.corner(fromRight)
		pen.x, pen.y, pen.z = corner.x, corner.y, p.spec.footHighMM()+float64(band)*p.spec.bandHighMM()
	}
}

// corner is where a layer begins, and the one before ended: the far corner of a block.
func (p *Piece) corner(right bool) point {
	half := p.spec.Held.LineWidthMM / 2
	at := point{p.row.blocks[0] + half, p.row.y + blockDeepMM - half}
	if right {
		at.x = p.row.blocks[1] + blockWideMM - half
	}
	return at
}

// firmware tells the firmware how to retract.
func (p *pen) firmware(retractMM float64) {
	h := p.spec.Held
	p.say(0, word('M', 207), word('S', retractMM), word('F', 60*h.RetractMMPerS), word('Z', 0))
	p.say(0, word('M', 208), word('S', 0), word('F', 60*h.RestartMMPerS))
}

// writeLayer prints one layer, from the left or from the right.
func (p *Piece) writeLayer(pen *pen, band, layer int, fromRight bool, travelMMPerS, retractMM float64) {
	h := p.spec.Held
	posts := bead{h.LineWidthMM, h.LayerMM, h.PrintMMPerS}
	blocks := bead{h.LineWidthMM, h.LayerMM, p.slowly}
	m := markOf(band, layer, p.spec.layers())
	stations := len(p.row.posts) + 2
	for i := range stations {
		at := i
		if fromRight {
			at = stations - 1 - i
		}
		path, b := p.station(pen.path[:0], at, m), posts
		if at == 0 || at == stations-1 {
			b = blocks
		}
		// A post, and the last block of a layer, is entered where the gap is; the first block at its far corner. The bead of
		// a block ends at its gap, so as the last one it is laid from its end.
		back := fromRight
		if at == 0 || at == stations-1 {
			back = i > 0
		}
		first := path[0]
		if back {
			first = path[len(path)-1]
		}
		if i == 0 {
			p.step(pen, first, band, layer, retractMM)
		} else {
			pen.hop(first, travelMMPerS, retractMM)
		}
		if back {
			pen.layBack(path, b)
		} else {
			pen.lay(path, b)
		}
		pen.path = path
	}
}

// step goes up by a layer, at the corner where the one before ended. A band says where that is, so that it stands alone.
func (p *Piece) step(pen *pen, at point, band, layer int, retractMM float64) {
	z := p.spec.footHighMM() + float64(band)*p.spec.bandHighMM() + float64(layer+1)*p.spec.Held.LayerMM
	if band == 0 && layer == 0 {
		pen.say(0, word('M', 106), word('S', float64(int(255*p.spec.Held.FanPercent/100+0.5))))
	}
	away := layer == 0 && band == 0
	if away {
		pen.draw(retractMM)
	}
	pen.raise(z)
	if layer == 0 {
		pen.travel(at, p.spec.Held.TravelMMPerS)
	}
	pen.restore(retractMM)
}

// station is the bead of what stands at a place of the row: block, posts, block.
func (p *Piece) station(path []point, at int, m mark) []point {
	w := p.spec.Held.LineWidthMM
	switch last := len(p.row.posts) + 1; at {
	case 0:
		return p.row.blockPath(path, false, w, m)
	case last:
		return p.row.blockPath(path, true, w, mark{})
	default:
		return p.row.postPath(path, p.row.posts[at-1], w)
	}
}

// blockSpeed is how fast the blocks are laid so that a layer takes its time, mm/s: they wait so that the posts need not.
func (p *Piece) blockSpeed() float64 {
	low, high := slowestMMS, p.spec.Held.PrintMMPerS
	for range 24 {
		p.slowly = (low + high) / 2
		if p.layerS() < layerLeastS {
			high = p.slowly
		} else {
			low = p.slowly
		}
	}
	return low
}

// layerS is how long the quickest layer takes, s: one without marks, of the band that loses the least time over its gaps.
func (p *Piece) layerS() float64 {
	least := 0.0
	for band := range Bands {
		seconds := 0.0
		travel, retract := p.spec.value(band)
		pen := newPen(p.spec, func(s gcode.Step) bool { seconds += s.Lasts.Seconds(); return true })
		corner := p.corner(false)
		pen.known, pen.x, pen.y = true, corner.x, corner.y
		pen.z = p.spec.footHighMM() + float64(band+1)*p.spec.bandHighMM() - p.spec.Held.LayerMM
		p.writeLayer(pen, band, p.spec.layers()-1, false, travel, retract)
		if least == 0 || seconds < least {
			least = seconds
		}
	}
	return least
}
