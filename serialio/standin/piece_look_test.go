package standin

import (
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// looked prints a row and looks at it without scatter.
func looked(t *testing.T, p Profile, r row) (PieceLook, *Firmware) {
	t.Helper()
	f := warm(t, p)
	stream(t, f, r.lines())
	return f.Bench().LookAtPiece(0), f
}

func TestALookFindsThePieceAgain(t *testing.T) {
	r := tubeRow(1, 2, 3, 4, 5, 6, 7, 8)
	r.gaps = []float64{22, 6, 14, 9}
	l, _ := looked(t, fedRight(InventedTube(), nil), r)
	mustBe(t, "high", l.HighMM, 24.3, 1e-6)
	mustBe(t, "foot", l.FootMM, 0.3, 1e-6)
	mustBe(t, "layer", l.LayerMM, 0.25, 1e-6)
	if len(l.Gaps) != 4 || len(l.Posts) != 5 || len(l.Bands) != 8 || l.Crashed || l.Damp {
		t.Fatalf("saw %+v", l)
	}
	for i, left := range r.posts() {
		mustBe(t, "left edge of a post", l.Posts[i].FromMM, left, 0.5)
		mustBe(t, "width of a post", l.Posts[i].WidthMM(), rowPostMM, 1.1)
	}
	for i, want := range r.gaps {
		mustBe(t, "width of a gap", l.Gaps[i].WidthMM(), want, 0.05)
		mustBe(t, "width of a gap of a band", l.Bands[3].Gaps[i].WidthMM, want, 0.05)
	}
	for i, b := range l.Bands {
		mustBe(t, "bottom of a band", b.FromMM, 0.3+3*float64(i), 1e-6)
	}
}

// Bands are whole layers, as many as come nearest to 3 mm.
func TestBandsAreWholeLayers(t *testing.T) {
	for layerMM, layers := range map[float64]int{0.1: 30, 0.125: 24, 0.2: 15, 0.24: 13, 0.32: 9, 0.4: 8} {
		r := tubeRow(2, 4, 5)
		r.layerMM, r.layers = layerMM, layers
		l, _ := looked(t, fedRight(InventedTube(), nil), r)
		if len(l.Bands) != 3 {
			t.Fatalf("layers of %v mm make %d bands", layerMM, len(l.Bands))
		}
		mustBe(t, "top of the last band", l.Bands[2].ToMM, 0.3+3*layerMM*float64(layers), 0.02)
		if first, last := l.Bands[0].Gaps[0], l.Bands[2].Gaps[0]; first.ThreadUM < 30 || last.ThreadUM > 8 {
			t.Errorf("layers of %v mm: %.1f um at 2 mm, %.1f at 5", layerMM, first.ThreadUM, last.ThreadUM)
		}
	}
}

// A piece printed line by line shows what the short cut says of the same machine.
func TestThePieceAndTheShortCutAgree(t *testing.T) {
	lengths := []float64{0.5, 1.5, 2.5, 3.5, 4, 4.5, 5.5, 7}
	for _, m := range Materials() {
		p := fedRight(InventedTube(), func(p *Profile) { p.Material = m })
		l, f := looked(t, p, tubeRow(lengths...))
		flow := middle(f.world.plate.crossed, func(c crossed) float32 { return c.flow })
		s := StringsOf(p, Crossing{FlowMM3PerS: flow})
		for i, mm := range lengths {
			for g, want := range s.Band(mm, 0, []float64{6, 9, 14, 22}) {
				is := l.Bands[i].Gaps[g]
				mustBe(t, m.Name+" um", is.ThreadUM, want.ThreadUM, 2+0.05*want.ThreadUM)
				mustBe(t, m.Name+" void", is.VoidMM3, want.VoidMM3, 0.02)
				if off := is.Grade - gradeOf(want.ThreadUM); off*off > 1 {
					t.Errorf("%s %v mm: grade %d for %.1f um", m.Name, mm, is.Grade, want.ThreadUM)
				}
			}
		}
		short, okS := s.SufficientMM()
		long, okL := f.Bench().TrueSufficientMM(Crossing{})
		if okS != okL {
			t.Errorf("%s: serves %v, and %v", m.Name, okS, okL)
		}
		mustBe(t, "sufficient", long, short, 0.011)
	}
}

func TestTheFirmwaresOwnRetractionLeavesTheSamePiece(t *testing.T) {
	r := tubeRow(2, 3, 4, 4.25, 4.5)
	moves, _ := looked(t, fedRight(InventedTube(), nil), r)
	r.firmware = true
	words, _ := looked(t, fedRight(InventedTube(), nil), r)
	for i, b := range words.Bands {
		for g := range b.Gaps {
			mustBe(t, "um by G10", b.Gaps[g].ThreadUM, moves.Bands[i].Gaps[g].ThreadUM, 0.01)
		}
	}
}

func TestAccelerationsOfTheSettingsCount(t *testing.T) {
	r := tubeRow(3)
	r.gaps = []float64{22, 22}
	quick, _ := looked(t, InventedTube(), r)
	f := warm(t, InventedTube())
	stream(t, f, []string{"M204 T200"})
	stream(t, f, r.lines())
	lazy := f.Bench().LookAtPiece(0)
	if a, b := quick.Bands[0].Gaps[0].ThreadUM, lazy.Bands[0].Gaps[0].ThreadUM; b < a*1.1 {
		t.Errorf("%.1f um at 1200 mm/s2, %.1f at 200", a, b)
	}
}

func TestAnInterruptedPieceHasFewerBands(t *testing.T) {
	for layers, want := range map[int]int{0: 3, 24: 2, 23: 1, 12: 1, 8: 0} {
		r := tubeRow(2, 3, 4)
		r.stopAfter = layers
		l, _ := looked(t, InventedTube(), r)
		if len(l.Bands) != want {
			t.Errorf("%d layers show %d bands, want %d", layers, len(l.Bands), want)
		}
		if layers > 0 {
			mustBe(t, "high", l.HighMM, 0.3+0.25*float64(layers), 1e-6)
		}
	}
}

// A piece left standing is struck: by the next print, by a probe, by Z homed where it stands.
func TestAPieceLeftStandingIsStruck(t *testing.T) {
	standing := func() *Firmware {
		p := InventedTube()
		p.ZHomeMM = [2]float64{80.5, 62}
		_, f := looked(t, p, tubeRow(2, 2))
		return f
	}
	for name, lines := range map[string][]string{
		"the next print": {"G1 Z0.3 F600", "G0 X40 Y60", "M400"},
		"a probe":        {"G29"},
		"homing":         {"G28"},
		"its beads":      {"G92 E0", "M83", "G0 X38 Y62 F6000", "G1 Z0.3", "G1 X100 E2", "M400"},
	} {
		f := standing()
		if f.Bench().LookAtPiece(0).Crashed {
			t.Fatal("struck while it was printed")
		}
		stream(t, f, lines)
		if !f.Bench().LookAtPiece(0).Crashed {
			t.Errorf("%s went through it", name)
		}
		f = standing()
		f.Bench().TakeOff()
		stream(t, f, lines)
		if l := f.Bench().LookAtPiece(0); l.Crashed || len(l.Bands) > 0 || l.HighMM > 0.5 {
			t.Errorf("%s on an empty bed: saw %+v", name, l)
		}
	}
}

func TestZIsHomedAtItsPlace(t *testing.T) {
	for words, want := range map[string][3]float64{"G28": {90, 62, 0}, "G28 Z": {90, 62, 0}, "G28 X": {0, 60, 12}} {
		p := Invented()
		p.ZHomeMM = [2]float64{90, 62}
		f := awake(t, func(q *Profile) { *q = p })
		tell(f, words, "M400")
		s := f.Snapshot()
		for i := range want {
			mustBe(t, words+" head "+axes[i:i+1], s.HeadMM[i], want[i], 1e-9)
		}
	}
	f := awake(t, func(p *Profile) { p.ZHomeMM = [2]float64{90, 62} })
	tell(f, "G28", "G1 X50 Y40 F6000", "M400")
	mustBe(t, "X behind it", f.Snapshot().HeadMM[0], 50, 1e-9)
}

func TestDampAndFanAreSeen(t *testing.T) {
	f := warm(t, InventedTube())
	f.Bench().Load(Tough(), true)
	r := tubeRow(4.5, 5, 6)
	stream(t, f, append([]string{"M106 S128"}, r.lines()...))
	l := f.Bench().LookAtPiece(0)
	if !l.Damp || !f.Bench().Popping() {
		t.Error("damp filament looks dry")
	}
	for _, b := range l.Bands {
		mustBe(t, "fan", b.FanPercent, 50.2, 0.1)
		if b.Gaps[0].Grade < 2 {
			t.Errorf("damp filament left %+v", b)
		}
	}
}

func TestACasualLookScattersAndATrainedOneLess(t *testing.T) {
	_, f := looked(t, InventedTube(), tubeRow(1, 2, 3, 3.2))
	wrong := func(scatter float64) (n int) {
		for range 100 {
			truth, is := f.Bench().LookAtPiece(0), f.Bench().LookAtPiece(scatter)
			for i, b := range is.Bands {
				for g := range b.Gaps {
					if b.Gaps[g].Grade != truth.Bands[i].Gaps[g].Grade {
						n++
					}
				}
			}
		}
		return n
	}
	trained, casual := wrong(0.35), wrong(0.6)
	if wrong(0) != 0 || trained < 100 || casual < trained*5/4 {
		t.Errorf("of 1600 looks a trained one errs in %d, a casual one in %d", trained, casual)
	}
}

func TestAColdNozzleLeavesNothing(t *testing.T) {
	f := awake(t, nil)
	stream(t, f, tubeRow(2).lines())
	if l := f.Bench().LookAtPiece(0); l.HighMM != 0 || len(l.Gaps) != 0 {
		t.Errorf("saw %+v", l)
	}
}

// However time is cut into pieces, the same piece lies on the bed.
func TestAPieceIsTheSameHoweverTimeIsCut(t *testing.T) {
	whole, _ := looked(t, InventedTube(), tubeRow(4))
	f := warm(t, InventedTube())
	for _, line := range tubeRow(4).lines() {
		f.Hear([]byte(line + "\n"))
		for f.Say() == nil {
			f.Advance(7 * time.Millisecond)
		}
	}
	cut := f.Bench().LookAtPiece(0)
	for g, is := range cut.Bands[0].Gaps {
		if want := whole.Bands[0].Gaps[g]; math.Abs(is.ThreadUM-want.ThreadUM) > 0.5 {
			t.Errorf("%.2f um, and %.2f in whole moves", is.ThreadUM, want.ThreadUM)
		}
	}
}

// Whatever a hot printer is told, nothing of melt and bed is ever out of bounds, and no look fails.
func TestNoMovesPutTheBedOutOfBounds(t *testing.T) {
	word := rapid.Custom(func(t *rapid.T) string {
		xyz, e := rapid.Float64Range(-30, 60), rapid.Float64Range(-5, 5)
		switch rapid.IntRange(0, 7).Draw(t, "word") {
		case 0:
			return fmt.Sprintf("G1 E%.3f F%d", e.Draw(t, "e"), rapid.IntRange(1, 4000).Draw(t, "f"))
		case 1:
			return fmt.Sprintf("G1 Z%.2f", xyz.Draw(t, "z")/10)
		case 2:
			return rapid.SampledFrom([]string{"G10", "G11", "G28", "G29", "M420 S1", "M410", "M104 S0", "G92 E0", "G92 X0"}).Draw(t, "other")
		case 3:
			return fmt.Sprintf("G0 X%.1f Y%.1f", xyz.Draw(t, "x"), xyz.Draw(t, "y"))
		}
		return fmt.Sprintf("G1 X%.1f Y%.1f E%.3f F6000", xyz.Draw(t, "x"), xyz.Draw(t, "y")/10, e.Draw(t, "e"))
	})
	rapid.Check(t, func(rt *rapid.T) {
		f := warm(t, rapid.SampledFrom(Machines(1, 12)).Draw(rt, "machine"))
		stream(t, f, append([]string{"G28", "M83", "G1 Z0.3"}, rapid.SliceOfN(word, 0, 60).Draw(rt, "words")...))
		p := &f.world.plate
		if c := p.melt.squeezedMM; math.IsNaN(c) || math.IsInf(c, 0) || p.melt.looseMM < 0 || p.melt.looseMM > p.nature.slackMM+1e-9 {
			rt.Fatalf("melt %+v", p.melt)
		}
		for _, c := range p.crossed {
			if !(c.threadUM >= 0 && c.threadUM < 5000 && c.voidMM3 >= 0 && c.toMM-c.fromMM >= leastMM) {
				rt.Fatalf("crossed %+v", c)
			}
		}
		f.Bench().LookAtPiece(0.6)
		f.Bench().TrueSufficientMM(Crossing{})
	})
}

// Whatever is laid, only so much of it is remembered.
func TestTheBedIsBounded(t *testing.T) {
	f := warm(t, InventedDirect())
	stream(t, f, []string{"G28", "M83", "M203 X9999 Y9999", "G1 Z0.3 F6000", "G1 F600000", "G1 X900000 E90", "G1 Y900000 E90", "M400"})
	if n := len(f.world.plate.heights.tiles); n == 0 || n > tilesMost {
		t.Errorf("%d tiles", n)
	}
	if n := len(f.world.plate.crossed); n > crossedMost {
		t.Errorf("%d crossings", n)
	}
}
