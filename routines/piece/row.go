package piece

import (
	"fmt"
	"math"
)

// gapsMM are the gaps between posts, each about half as wide again as the one before, so that a string that thins with the
// width is seen to.
var gapsMM = [...]float64{6, 9, 14, 22}

// Sizes of what stands on the foot, mm.
const (
	directPostMM = 6.0
	tubePostMM   = 10.0 // a longer stroke needs more filament a post, or the gear bites the same spot too often
	blockWideMM  = 14.0
	blockDeepMM  = 10.0
	blockGapMM   = 6.0
	footRimMM    = 2.0
	arrowMM      = 8.0 // the foot reaches so far out before the first block, for the arrow
	purgeAwayMM  = 8.0
)

// row is what stands where: a block, the posts, a block, along X. All of it begins at the front line y.
type row struct {
	x0, y    float64   // left end of the foot's posts, and the line along which gaps are crossed
	postMM   float64   // a post is square
	columns  int       // of the bead that folds to and fro in a post; even, so that it ends where it began, at the front
	posts    []float64 // left edges
	gaps     []float64 // between them
	blocks   [2]float64
	rightMM  float64 // right edge of the second block
	deepMM   float64 // the deeper of post and block
	purgeY   float64
	purgeX   float64
	footLeft float64
}

// layOut puts the row in the middle of the bed. Where it is too long, the widest gaps are left out; two must remain.
func layOut(s Spec) (row, error) {
	var r row
	for gaps := len(gapsMM); gaps >= 2; gaps-- {
		r = rowOf(s, gapsMM[:gaps])
		if r.longMM()+2*clearanceMM <= s.Machine.BuildMM[0] {
			break
		}
	}
	if long := r.longMM() + 2*clearanceMM; long > s.Machine.BuildMM[0] {
		return r, &FitError{"the row of posts", fmt.Sprintf("is %.0f mm long with its room", long), fmt.Sprintf("a bed of at least that; it has %g mm", s.Machine.BuildMM[0])}
	}
	deep := r.deepMM + 2*footRimMM + purgeAwayMM + 2*clearanceMM
	if deep > s.Machine.BuildMM[1] {
		return r, &FitError{"the piece", fmt.Sprintf("is %.0f mm deep with its purge line", deep), fmt.Sprintf("a bed of at least that; it has %g mm", s.Machine.BuildMM[1])}
	}
	return r.placed(s), bitten(s, r)
}

// rowOf is the row with its left end at 0.
func rowOf(s Spec, gaps []float64) row {
	r := row{postMM: directPostMM, gaps: gaps}
	if s.Held.Tube {
		r.postMM = tubePostMM
	}
	r.deepMM = math.Max(r.postMM, blockDeepMM)
	r.columns = columnsFor(s, r.postMM)
	x := blockWideMM + blockGapMM
	for i := range len(gaps) + 1 {
		r.posts = append(r.posts, x)
		x += r.postMM
		if i < len(gaps) {
			x += gaps[i]
		}
	}
	r.blocks = [2]float64{0, x + blockGapMM}
	r.rightMM = x + blockGapMM + blockWideMM
	return r
}

func (r row) longMM() float64 { return r.rightMM + 2*footRimMM + arrowMM }

// placed moves the row into the middle of the bed, and the purge line before it.
func (r row) placed(s Spec) row {
	left := (s.Machine.BuildMM[0]-r.longMM())/2 + footRimMM + arrowMM
	r.y = math.Max((s.Machine.BuildMM[1]-r.deepMM)/2, clearanceMM+purgeAwayMM+footRimMM)
	r.footLeft = left - footRimMM - arrowMM
	r.x0 = left
	for i := range r.posts {
		r.posts[i] += left
	}
	r.blocks[0], r.blocks[1] = r.blocks[0]+left, r.blocks[1]+left
	r.rightMM += left
	r.purgeX, r.purgeY = left, r.y-footRimMM-purgeAwayMM
	return r
}

// columnsFor is the least even number of columns with which the gear does not bite the same spot too often: a post takes so
// much filament that 2·length/filament + 1 stays within bitesMost, if it can.
func columnsFor(s Spec, postMM float64) int {
	longest := s.Held.LongestMM
	for i := range Bands {
		_, retract := s.value(i)
		longest = math.Max(longest, retract)
	}
	most := int(postMM / s.Held.LineWidthMM)
	columns := 2
	for columns+2 <= most && bites(s, postMM, columns, longest) > bitesMost {
		columns += 2
	}
	return columns
}

// bites is how often the gear bites one spot of the filament while a row of posts is printed.
func bites(s Spec, postMM float64, columns int, retractMM float64) float64 {
	inner := postMM - s.Held.LineWidthMM
	bead := float64(columns)*inner + inner
	return 2*retractMM/s.Held.FilamentOf(bead, s.Held.LineWidthMM, s.Held.LayerMM) + 1
}

// bitten refuses a stroke that would grind the filament.
func bitten(s Spec, r row) error {
	for i := range Bands {
		_, retract := s.value(i)
		if n := bites(s, r.postMM, r.columns, retract); n > bitesMost*1.1 {
			return &FitError{"the retraction of band " + Letters[i:i+1], fmt.Sprintf("of %g mm has the gear bite one spot %.0f times", retract, n), fmt.Sprintf("strokes with at most %g bites", bitesMost)}
		}
	}
	return nil
}
