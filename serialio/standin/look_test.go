package standin

import (
	"math"
	"testing"
)

func TestTwoFlagsAreReadEachForItself(t *testing.T) {
	f := hot(t, func(p *Profile) { p.TrueStepsPerMM = 93 })
	b, caliper := f.Bench(), Gauge{0.02, 0.03}
	b.Flags(25, 100)
	tell(f, "G1 E5 F50", "M400")
	l := b.Look(caliper)
	if l.NearMM == nil || l.FlagsMM == nil {
		t.Fatalf("saw %+v", l)
	}
	mustBe(t, "near flag", *l.NearMM, 20, 0.12)
	mustBe(t, "flag to flag", *l.FlagsMM, 100, 0.12)
	mustBe(t, "far flag", b.LeftoverMM(), 120, 1e-3)
	tell(f, "G1 E100 F50", "M400")
	if l = b.Look(caliper); l.NearMM != nil || l.GoneIn {
		t.Errorf("the near flag has gone in and the far one has not; saw %+v", l)
	}
	mustBe(t, "far flag after the feed", l.LeftoverMM, 20, 0.12)
	b.Mark(120)
	if l = b.Look(caliper); l.FlagsMM != nil {
		t.Errorf("a mark is set, and flags are seen: %+v", l)
	}
}

// Reading again what has not changed gives the same; what has changed, or another gauge, is read anew. The scale is off by the
// same at each reading, within its limit: of many, the middle is off by no more.
func TestReadingsScatterAndTheScaleDoesNot(t *testing.T) {
	b := awake(t, nil).Bench()
	for _, g := range []Gauge{{1, 0.5}, {0.05, 0.05}, {0.01, 0.03}, {0.1, 0.4}} {
		sum, square := 0.0, 0.0
		const n = 400
		for range n {
			b.Mark(100)
			mm := b.Look(g).LeftoverMM
			if again := b.Look(g).LeftoverMM; again != mm {
				t.Fatalf("read %v and then %v", mm, again)
			}
			mustBe(t, "divisions", math.Abs(mm/g.DivisionMM-math.Round(mm/g.DivisionMM)), 0, 1e-6)
			sum, square = sum+mm-100, square+(mm-100)*(mm-100)
		}
		mean := sum / n
		if spread := math.Sqrt(square/n - mean*mean); math.Abs(mean) > g.LimitMM+0.1*g.DivisionMM || spread > handMM+0.6*g.DivisionMM || spread == 0 {
			t.Errorf("%+v: off by %v on average, spread %v", g, mean, spread)
		}
	}
}

// Ten readings, as many places wide and across: their mean is the spool's, and an oval shows as what is wider one way.
func TestTheFilamentIsUnevenAndOval(t *testing.T) {
	profile := func(uneven, oval float64) func(*Profile) {
		return func(p *Profile) { p.FilamentMM, p.UnevenMM, p.OvalMM = 1.74, uneven, oval }
	}
	round := awake(t, profile(-1, -1)).Bench()
	mustBe(t, "a round one", round.WidthMM(3, true), 1.74, 1e-12)
	b := awake(t, profile(0.01, 0.03)).Bench()
	const places = 500
	sum, square, apart, read := 0.0, 0.0, 0.0, 0.0
	for i := range places {
		one, across := b.WidthMM(i, false), b.WidthMM(i, true)
		mean := (one+across)/2 - 1.74
		sum, square = sum+mean, square+mean*mean
		apart = math.Max(apart, math.Abs(one-across))
		read = math.Max(read, math.Abs(b.LookAcross(Gauge{0.01, 0.02}, i, true)-across))
	}
	mustBe(t, "mean", sum/places, 0, 0.0015)
	mustBe(t, "from place to place", math.Sqrt(square/places), 0.01, 0.001)
	mustBe(t, "most oval", apart, 0.03, 0.0005)
	if read == 0 || read > 0.05 {
		t.Errorf("a caliper reads up to %v mm off", read)
	}
	was := b.WidthMM(1, false)
	b.Load(Tough(), false)
	if b.WidthMM(1, false) == was {
		t.Error("another spool has the same filament")
	}
}

// What is pulled back by hand comes out again through an open path, and is no part of a piece cut after it.
func TestFilamentPulledBackComesOutOfAnOpenEnd(t *testing.T) {
	f := hot(t, func(p *Profile) { p.TrueStepsPerMM = 93 })
	b := f.Bench()
	was := b.FedMM()
	b.PullBack(80)
	mustBe(t, "pulled", b.FedMM()-was, -80, 1e-9)
	b.OpenPath(true)
	if b.Look(Gauge{0.02, 0.03}).PieceMM != nil {
		t.Error("a piece is seen that nobody has cut")
	}
	tell(f, "M104 S0", "M302 P1", "G1 E96 F300", "M400")
	mustBe(t, "out again", b.FedMM()-was, 16, 1e-3)
	b.Cut()
	tell(f, "G1 E100 F300", "M400")
	mustBe(t, "piece", b.PieceMM(), 100, 1e-3)
	if !b.PathOpen() {
		t.Error("the path is closed")
	}
}
