package piece

// A Drawing is the piece seen from the front, in millimetres from the left end of its foot and from the bed. It says nothing
// of what the bands are printed with.
type Drawing struct {
	LongMM    float64   `json:"long_mm"`
	HighMM    float64   `json:"high_mm"`
	FootMM    float64   `json:"foot_mm"`
	Posts     []Stand   `json:"posts"`
	Blocks    []Stand   `json:"blocks"`
	Gaps      []GapSeen `json:"gaps"`
	Bands     []Layers  `json:"bands"` // from the bottom
	ArrowAtMM float64   `json:"arrow_at_mm"`
}

// A Stand is what stands on the foot.
type Stand struct {
	AtMM   float64 `json:"at_mm"` // its left edge
	WideMM float64 `json:"wide_mm"`
}

// GapSeen is the open air between two posts.
type GapSeen struct {
	AtMM   float64 `json:"at_mm"`
	WideMM float64 `json:"wide_mm"`
}

// Layers is one band.
type Layers struct {
	Letter  string  `json:"letter"`
	FromMM  float64 `json:"from_mm"`
	ToMM    float64 `json:"to_mm"`
	JudgeMM float64 `json:"judge_mm"` // from here up it is judged
	Dots    int     `json:"dots"`
}

// unjudgedLayers is how many layers of a band are not judged: what was printed before still shows in them.
const unjudgedLayers = 3

// Drawing is how the piece looks.
func (p *Piece) Drawing() Drawing {
	s, r := p.spec, p.row
	left := r.footLeft
	d := Drawing{LongMM: r.longMM(), HighMM: s.HighMM(), FootMM: s.footHighMM(), ArrowAtMM: 1.5}
	for i, x := range r.posts {
		d.Posts = append(d.Posts, Stand{x - left, r.postMM})
		if i < len(r.gaps) {
			d.Gaps = append(d.Gaps, GapSeen{x - left + r.postMM, r.gaps[i]})
		}
	}
	for _, x := range r.blocks {
		d.Blocks = append(d.Blocks, Stand{x - left, blockWideMM})
	}
	for i := range Bands {
		from := s.footHighMM() + float64(i)*s.bandHighMM()
		d.Bands = append(d.Bands, Layers{Letter: Letters[i : i+1], FromMM: from, ToMM: from + s.bandHighMM(), JudgeMM: from + unjudgedLayers*s.Held.LayerMM, Dots: i + 1})
	}
	return d
}
