package standin

import (
	"cmp"
	"math"
	"slices"
)

// gapsOf parts crossings by where they lie, from left to right. What was crossed once or twice is no gap.
func gapsOf(all []crossed) (gaps [][]crossed) {
	const apartMM, least = 2.0, 3
	middleOf := func(c crossed) float32 { return (c.fromMM + c.toMM) / 2 }
	sorted := slices.SortedFunc(slices.Values(all), func(a, b crossed) int { return cmp.Compare(middleOf(a), middleOf(b)) })
	for len(sorted) > 0 {
		n := 1
		for n < len(sorted) && middleOf(sorted[n])-middleOf(sorted[n-1]) < apartMM {
			n++
		}
		if n >= least {
			gaps = append(gaps, sorted[:n])
		}
		sorted = sorted[n:]
	}
	return gaps
}

// postsBeside are the posts that the gaps leave.
func (p *plate) postsBeside(gaps []Span, footMM float64) []Span {
	left, right, _ := p.heights.acrossMM(footMM + standsMM)
	posts := []Span{{left, gaps[0].FromMM}}
	for i, g := range gaps {
		to := right
		if i+1 < len(gaps) {
			to = gaps[i+1].FromMM
		}
		posts = append(posts, Span{g.ToMM, to})
	}
	return posts
}

// layerOf is the average distance between two heights at which gaps were crossed, to 0.001 mm; 0 if there is but one.
func layerOf(all []crossed) float64 {
	heights := make([]float32, len(all))
	for i, c := range all {
		heights[i] = c.zMM
	}
	slices.Sort(heights)
	first, rises := heights[0], 0
	last := first
	for _, z := range heights {
		if z-last > cent/2 {
			last = z
			rises++
		}
	}
	if rises == 0 {
		return 0
	}
	return math.Round(float64(last-first)/float64(rises)*1000) / 1000
}

// within are the crossings at heights from one to another.
func within(all []crossed, fromMM, toMM float64) (some []crossed) {
	for _, c := range all {
		if z := float64(c.zMM); z >= fromMM && z <= toMM {
			some = append(some, c)
		}
	}
	return some
}

func mean(some []crossed, of func(crossed) float32) float64 {
	sum := 0.0
	for _, c := range some {
		sum += float64(of(c))
	}
	return sum / float64(len(some))
}

// middle is the median of something about crossings.
func middle(all []crossed, of func(crossed) float32) float64 {
	values := make([]float32, len(all))
	for i, c := range all {
		values[i] = of(c)
	}
	return middleOf(values)
}

func middleOf(values []float32) float64 {
	if len(values) == 0 {
		return 0
	}
	slices.Sort(values)
	return float64(values[len(values)/2])
}
