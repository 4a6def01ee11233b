package piece

import (
	"fmt"
	"strings"
)

// SVG draws the piece from the front, to scale, in the colour of the text around it. It is a whole document with a title
// for those who do not see it.
func (d Drawing) SVG() string {
	const margin = 6.0
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="%.4g %.4g %.5g %.5g" fill="none" stroke="currentColor" stroke-width="0.5" role="img">`,
		-margin, -margin, d.LongMM+2*margin, d.HighMM+2*margin)
	fmt.Fprintf(&b, `<title>A piece of %d posts and %d bands; gaps of %s mm</title>`, len(d.Posts), len(d.Bands), d.gapsInWords())
	box := func(x, z, wide, high float64) {
		fmt.Fprintf(&b, `<rect x="%.5g" y="%.5g" width="%.5g" height="%.5g"/>`, x, d.HighMM-z-high, wide, high)
	}
	box(0, 0, d.LongMM, d.FootMM)
	for _, s := range append(append([]Stand(nil), d.Posts...), d.Blocks...) {
		box(s.AtMM, d.FootMM, s.WideMM, d.HighMM-d.FootMM)
	}
	for _, l := range d.Bands {
		d.band(&b, l)
	}
	b.WriteString(`</svg>`)
	return b.String()
}

// band draws the notch where a band begins, and its dots, on the first block, and its letter beside it.
func (d Drawing) band(b *strings.Builder, l Layers) {
	y := func(z float64) float64 { return d.HighMM - z }
	block := d.Blocks[0]
	fmt.Fprintf(b, `<path d="M%.5g %.5gh%.5g" stroke-dasharray="1 1"/>`, block.AtMM, y(l.FromMM), block.WideMM)
	pitch := block.WideMM / float64(len(d.Bands)+1)
	for i := range l.Dots {
		fmt.Fprintf(b, `<circle cx="%.5g" cy="%.5g" r="0.4" fill="currentColor"/>`, block.AtMM+pitch*float64(i+1), y((l.FromMM+l.ToMM)/2))
	}
	fmt.Fprintf(b, `<text x="%.5g" y="%.5g" font-size="2.5" stroke="none" fill="currentColor">%s</text>`, -4.5, y(l.FromMM+0.4), l.Letter)
}

func (d Drawing) gapsInWords() string {
	words := make([]string, len(d.Gaps))
	for i, g := range d.Gaps {
		words[i] = fmt.Sprintf("%g", g.WideMM)
	}
	return strings.Join(words, ", ")
}
