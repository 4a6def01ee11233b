package piece

// point is a place on the bed, mm.
type point struct{ x, y float64 }

// A bead folds to and fro. Its points are appended to a path, first to last; a layer that is printed the other way takes them
// from the end.

// postPath is the bead of a post, from the front of its left face to the front of its right face: columns from front to
// back and back again, an even number of them.
func (r row) postPath(path []point, leftMM, widthMM float64) []point {
	inner := r.postMM - widthMM
	x, front, back := leftMM+widthMM/2, r.y+widthMM/2, r.y+widthMM/2+inner
	for c := range r.columns {
		at := x + inner*float64(c)/float64(r.columns-1)
		from, to := front, back
		if c%2 == 1 {
			from, to = back, front
		}
		path = append(path, point{at, from}, point{at, to})
	}
	return path
}

// blockRows is how many rows the bead of a block has: odd, so that it begins at the far corner of its back.
const blockRows = 3

// blockPath is the bead of the first block, from the left of its back to the right end of its front, next to the first gap.
// Its front carries the marks of its band: a notch where the band begins, and as many dots as the band's number. The second
// block is its mirror without marks.
func (r row) blockPath(path []point, second bool, widthMM float64, m mark) []point {
	left, right := r.blocks[0]+widthMM/2, r.blocks[0]+blockWideMM-widthMM/2
	if second {
		left, right = r.blocks[1]+blockWideMM-widthMM/2, r.blocks[1]+widthMM/2
	}
	front, back := r.y+widthMM/2, r.y+blockDeepMM-widthMM/2
	for i := range blockRows {
		y := back + (front-back)*float64(i)/(blockRows-1)
		from, to := left, right
		if i%2 == 1 {
			from, to = right, left
		}
		if i < blockRows-1 || second {
			path = append(path, point{from, y}, point{to, y})
			continue
		}
		path = m.front(path, left, right, y)
	}
	return path
}

// mark is what the front of the first block shows on one layer.
type mark struct {
	notch bool
	dots  int
}

const (
	notchMM = 1.2 // how deep
	dotMM   = 0.8 // how far a dot stands out
)

// front is the front line of the block with its mark, from left to right.
func (m mark) front(path []point, left, right, y float64) []point {
	if m.notch {
		return append(path, point{left, y + notchMM}, point{right, y + notchMM}, point{right, y})
	}
	path = append(path, point{left, y})
	pitch := (right - left) / (Bands + 1)
	for i := range m.dots {
		x := left + pitch*float64(i+1)
		path = append(path, point{x - pitch/4, y}, point{x - pitch/4, y - dotMM}, point{x + pitch/4, y - dotMM}, point{x + pitch/4, y})
	}
	return append(path, point{right, y})
}

// markOf is the mark of a layer of a band: two layers of notch where it begins, dots over four in its middle.
func markOf(band, layer, layers int) mark {
	switch {
	case layer < 2:
		return mark{notch: true}
	case layer >= layers/3 && layer < layers/3+4:
		return mark{dots: band + 1}
	}
	return mark{}
}

// serpentine covers a rectangle with lines along X, from its lower left corner.
func serpentine(path []point, left, right, front, back, pitch float64) []point {
	lines := int((back-front)/pitch) + 1
	for i := range lines {
		y := front + pitch*float64(i)
		from, to := left, right
		if i%2 == 1 {
			from, to = right, left
		}
		path = append(path, point{from, y}, point{to, y})
	}
	return path
}
