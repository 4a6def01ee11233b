package standin

import "math"

// heights is how high plastic stands on the bed: one height for each square millimetre, in tiles, so that it takes memory
// only where something was laid.
type heights struct {
	tiles map[place]*tile
	near  place // of the tile looked at last
	tile  *tile // nil: nothing stands there
	topMM float64
}

const (
	tileMM    = 32
	tilesMost = 512    // what is laid beyond them is not remembered
	cent      = 0.01   // mm, the unit of a height
	highest   = 655.35 // mm
)

type place struct{ x, y int }

type tile [tileMM][tileMM]uint16

func (h *heights) empty() bool { return len(h.tiles) == 0 }

// find looks a tile up; those that follow each other are mostly the same.
func (h *heights) find(p place) *tile {
	if p != h.near || h.tile == nil {
		h.near, h.tile = p, h.tiles[p]
	}
	return h.tile
}

// cellOf is the square millimetre at a place, and its tile.
func cellOf(xMM, yMM float64) (p place, x, y int) {
	cx, cy := int(math.Floor(xMM)), int(math.Floor(yMM))
	p = place{cx >> 5, cy >> 5}
	return p, cx & (tileMM - 1), cy & (tileMM - 1)
}

// at is how high plastic stands at a place, mm.
func (h *heights) at(xMM, yMM float64) float64 {
	p, x, y := cellOf(xMM, yMM)
	if t := h.find(p); t != nil {
		return float64(t[y][x]) * cent
	}
	return 0
}

// raise lays plastic at a place up to a height, and returns how high it stood before.
func (h *heights) raise(xMM, yMM, zMM float64) float64 {
	p, x, y := cellOf(xMM, yMM)
	t := h.find(p)
	if t == nil {
		if len(h.tiles) >= tilesMost {
			return 0
		}
		if h.tiles == nil {
			h.tiles = map[place]*tile{}
		}
		t = new(tile)
		h.tiles[p], h.tile = t, t
	}
	was, now := t[y][x], uint16(min(max(zMM, 0), highest)/cent+0.5)
	if now > was {
		t[y][x] = now
		h.topMM = math.Max(h.topMM, float64(now)*cent)
	}
	return float64(was) * cent
}

// acrossMM is from where to where along X something stands higher than that; false if nothing does.
func (h *heights) acrossMM(aboveMM float64) (from, to float64, any bool) {
	from, to = math.Inf(1), math.Inf(-1)
	limit := uint16(min(aboveMM, highest) / cent)
	for p, t := range h.tiles {
		for y := range t {
			for x, z := range t[y] {
				if z > limit {
					at := float64(p.x*tileMM + x)
					from, to, any = math.Min(from, at), math.Max(to, at+1), true
				}
			}
		}
	}
	return from, to, any
}
