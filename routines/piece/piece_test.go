package piece

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// usual is a piece on an ordinary machine. All numbers are invented, of the usual size.
func usual(change ...func(*Spec)) Spec {
	s := Spec{
		Machine: Machine{BuildMM: [3]float64{220, 220, 250}, MaxFeedMMPerS: [4]float64{300, 300, 8, 60}, MaxAccelMMPerS2: [4]float64{2000, 2000, 100, 5000},
			PrintAccelMMPerS2: 1000, TravelAccelMMPerS2: 1200, RetractAccelMMPerS2: 1500, FeedMaxMMPerS: 50},
		Held: Held{FilamentMM: 1.75, NozzleBoreMM: 0.4, LineWidthMM: 0.45, LayerMM: 0.25, PrintMMPerS: 40, FlowFactor: 1, FanPercent: 100,
			TravelMMPerS: 150, RetractMM: 1, RetractMMPerS: 30, RestartMMPerS: 30},
		Variable: Length, Values: []float64{0.25, 0.5, 0.75, 1, 1.25, 1.5, 1.75, 2}}
	for _, c := range change {
		c(&s)
	}
	return s
}

func onTube(s *Spec) {
	s.Held.Tube, s.Values = true, []float64{2.5, 3, 3.5, 4, 4.5, 5, 5.5, 6}
}

func byFirmware(s *Spec) { s.Held.Firmware = true }

func byTravel(s *Spec) {
	s.Variable, s.Values = Travel, []float64{40, 100, 125, 150, 175, 200, 225, 250}
}

func thick(s *Spec) {
	s.Held.FilamentMM, s.Held.Tube, s.Values = 2.85, true, []float64{3, 3.5, 4, 4.5, 5, 5.5, 6, 6.5}
	s.Held.NozzleBoreMM, s.Held.LineWidthMM, s.Held.LayerMM, s.Held.PrintMMPerS = 0.8, 0.9, 0.4, 30
}

func small(s *Spec) { s.Machine.BuildMM = [3]float64{140, 120, 120} }

var kinds = map[string][]func(*Spec){"direct": nil, "tube": {onTube}, "firmware": {byFirmware}, "travel": {byTravel}, "travel on a tube": {onTube, byTravel},
	"2.85 mm": {thick}, "small bed": {small}}

// TestOnThePrinter reads each piece back with a reader of the test's own and measures it again.
func TestOnThePrinter(t *testing.T) {
	for name, change := range kinds {
		t.Run(name, func(t *testing.T) {
			s := usual(change...)
			p, err := Plan(s)
			if err != nil {
				t.Fatal(err)
			}
			var r reader
			r.readPart(t, p.Foot().Program)
			for band := range Bands {
				from := len(r.segments)
				r.readPart(t, p.Band(band).Program)
				measureBand(t, p, band, r.segments[from:])
			}
			r.readPart(t, p.End().Program)
			whole := p.Whole()
			if r.lowestDrawn < -1e-3 {
				t.Errorf("more is given back than was drawn: %g mm", r.lowestDrawn)
			}
			for _, g := range r.segments {
				if g.x1 < 0 || g.y1 < 0 || g.z < 0 || g.x1 > s.Machine.BuildMM[0] || g.y1 > s.Machine.BuildMM[1] || g.z > s.Machine.BuildMM[2] {
					t.Fatalf("outside the build volume: %+v", g)
				}
			}
			fed := 0.0
			for _, g := range r.segments {
				fed += g.fed
			}
			if math.Abs(fed-whole.FilamentMM) > 0.002*whole.FilamentMM {
				t.Errorf("%.0f mm were fed, and %.0f promised", fed, whole.FilamentMM)
			}
			if whole.All.Lasts > 20*time.Minute || whole.FilamentMM > 2500 {
				t.Errorf("%v and %.0f mm: at most 20 minutes and 2.5 m", whole.All.Lasts, whole.FilamentMM)
			}
			t.Logf("%d lines, %d bytes, %v, %.2f m, blocks at %.0f mm/s, layer %.1f s", whole.All.Lines, whole.All.Bytes, whole.All.Lasts.Round(time.Second), whole.FilamentMM/1000, p.slowly, p.layerS())
		})
	}
}

// measureBand holds a band to the geometry that its drawing shows.
func measureBand(t *testing.T, p *Piece, band int, segments []segment) {
	t.Helper()
	s, d, left := p.spec, p.Drawing(), p.row.footLeft
	area := math.Pi * s.Held.FilamentMM * s.Held.FilamentMM / 4
	_, retract := s.value(band)
	crossed := map[string]int{}
	volume, bead := 0.0, 0.0
	for _, g := range segments {
		if g.fed > 0 {
			volume, bead = volume+g.fed*area, bead+g.long()
			continue
		}
		if g.long() == 0 || band == 0 && g.z <= d.Bands[0].FromMM+s.Held.LayerMM && g.y0 != g.y1 {
			continue // a step up, or the way from the arrow to the first block, which lies over the foot
		}
		if g.drawnMM < retract-1e-3 {
			t.Fatalf("band %d crosses open air with %g mm drawn back, want %g: %+v", band, g.drawnMM, retract, g)
		}
		if g.y0 != g.y1 {
			t.Fatalf("a travel that does not lie in its gap: %+v", g)
		}
		for _, stand := range append(d.Posts, d.Blocks...) {
			if a, b := math.Min(g.x0, g.x1)-left, math.Max(g.x0, g.x1)-left; a < stand.AtMM-0.01 && b > stand.AtMM+stand.WideMM+0.01 {
				t.Fatalf("a travel over own plastic: %+v", g)
			}
		}
		for i, gap := range d.Gaps {
			if mid := gap.AtMM + gap.WideMM/2 + left; math.Min(g.x0, g.x1) < mid && mid < math.Max(g.x0, g.x1) {
				crossed[fmt.Sprintf("%d at %.2f", i, g.z)]++
			}
		}
	}
	if want := bead * s.Held.LineWidthMM * s.Held.LayerMM; math.Abs(volume-want) > 0.005*want {
		t.Errorf("band %d: %.1f mm3 extruded, geometry %.1f", band, volume, want)
	}
	if want := len(d.Gaps) * s.layers(); len(crossed) != want {
		t.Errorf("band %d: %d gaps crossed over its layers, want %d", band, len(crossed), want)
	}
	for where, n := range crossed {
		if n != 1 {
			t.Errorf("band %d: gap %s crossed %d times", band, where, n)
		}
	}
}

// TestOneVariable: two bands differ in the variable, in their height and in the marks of the first block, and in nothing else.
func TestOneVariable(t *testing.T) {
	for _, change := range [][]func(*Spec){nil, {byTravel}, {byFirmware}} {
		s := usual(change...)
		p, err := Plan(s)
		if err != nil {
			t.Fatal(err)
		}
		held := func(band int) map[float64]bool {
			speeds := map[float64]bool{}
			var r reader
			r.readPart(t, p.Band(band).Program)
			for _, g := range r.segments {
				if g.long() > 0 && (s.Variable == Length || g.fed > 0) {
					speeds[g.mmPerS] = true
				}
			}
			return speeds
		}
		first := fmt.Sprint(held(0))
		for band := 1; band < Bands; band++ {
			if got := fmt.Sprint(held(band)); got != first {
				t.Errorf("%s: band %d goes at %s, band 0 at %s", s.Variable, band, got, first)
			}
		}
	}
}

// TestLayersCool: no layer is quicker than it takes to cool, and posts are never slowed for it.
func TestLayersCool(t *testing.T) {
	for name, change := range kinds {
		p, err := Plan(usual(change...))
		if err != nil {
			t.Fatal(err)
		}
		if s := p.layerS(); s < layerLeastS-0.05 && p.slowly > slowestMMS+0.01 {
			t.Errorf("%s: the quickest layer takes %.2f s", name, s)
		}
	}
}

func TestWhatDoesNotFitIsNamed(t *testing.T) {
	for what, change := range map[string]func(*Spec){
		"the row of posts":               func(s *Spec) { s.Machine.BuildMM[0] = 60 },
		"the piece":                      func(s *Spec) { s.Machine.BuildMM[1] = 25 },
		"the height of the piece":        func(s *Spec) { s.Machine.BuildMM[2] = 30 },
		"the bands":                      func(s *Spec) { s.Values = s.Values[:7] },
		"the variable":                   func(s *Spec) { s.Variable = "both" },
		"the retract speed":              func(s *Spec) { s.Held.RetractMMPerS = 70 },
		"the travel speed of band H":     func(s *Spec) { byTravel(s); s.Values[7] = 400 },
		"the retraction of band A":       func(s *Spec) { s.Values[0] = -1 },
		"the retraction of band H":       func(s *Spec) { s.Values[7] = math.NaN() },
		"the acceleration of travel":     func(s *Spec) { s.Machine.TravelAccelMMPerS2 = 0 },
		"the layer height":               func(s *Spec) { s.Held.LayerMM = 0.4 },
		"the line G1 Xx":                 func(s *Spec) { s.Before = []string{"G1 Xx"} },
		"the filament speed while print": func(s *Spec) { s.Machine.FeedMaxMMPerS, s.Held.RetractMMPerS, s.Held.RestartMMPerS = 1.1, 1, 1 },
	} {
		var fit *FitError
		if _, err := Plan(usual(change)); !errors.As(err, &fit) || !strings.HasPrefix(fit.What, what) || fit.Accept == "" {
			t.Errorf("%s: %v", what, err)
		}
	}
}

// TestAnySpecFitsOrIsRefused: whatever is asked for within reason is refused by name, or printed inside the printer.
func TestAnySpecFitsOrIsRefused(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := usual()
		s.Machine.BuildMM = [3]float64{rapid.Float64Range(50, 400).Draw(rt, "x"), rapid.Float64Range(50, 400).Draw(rt, "y"), rapid.Float64Range(50, 400).Draw(rt, "z")}
		s.Held.Tube = rapid.Bool().Draw(rt, "tube")
		s.Held.Firmware = rapid.Bool().Draw(rt, "firmware")
		s.Held.NozzleBoreMM = rapid.Float64Range(0.2, 0.8).Draw(rt, "nozzle")
		s.Held.LineWidthMM, s.Held.LayerMM = 1.1*s.Held.NozzleBoreMM, 0.6*s.Held.NozzleBoreMM
		first, rung := rapid.Float64Range(0, 4).Draw(rt, "first"), rapid.SampledFrom([]float64{0.1, 0.25, 0.5}).Draw(rt, "rung")
		for i := range s.Values {
			s.Values[i] = first + rung*float64(i)
		}
		p, err := Plan(s)
		if err != nil {
			return
		}
		var r reader
		r.readPart(t, p.Whole().Program)
		for _, g := range r.segments {
			if g.x1 < 0 || g.y1 < 0 || g.x1 > s.Machine.BuildMM[0] || g.y1 > s.Machine.BuildMM[1] || g.z > s.Machine.BuildMM[2] {
				rt.Fatalf("outside the build volume: %+v", g)
			}
		}
	})
}

// BenchmarkLines makes 200,000 lines: 41 pieces' worth.
func BenchmarkLines(b *testing.B) {
	p, err := Plan(usual())
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	var room [96]byte
	for b.Loop() {
		for lines := 0; lines < 200_000; {
			for s := range p.Whole().Steps {
				_ = s.Block.Append(room[:0])
				lines++
			}
		}
	}
	b.ReportMetric(b.Elapsed().Seconds()/float64(b.N), "s/200000-lines")
}
