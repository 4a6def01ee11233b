package standin

import (
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// hot is a printer at 210 C whose gear play is taken up.
func hot(t *testing.T, change func(*Profile)) *Firmware {
	t.Helper()
	f := awake(t, change)
	tell(f, "M109 S210", "M83", "G1 E5 F50", "M400")
	return f
}

// fed is what really goes in while the printer does these lines.
func fed(f *Firmware, lines ...string) float64 {
	before := f.Bench().FedMM()
	tell(f, append(lines, "M400")...)
	return f.Bench().FedMM() - before
}

// 93.00 configured where 94.512 are true: 98.4 of 100 mm. And back: old x commanded / actual.
func TestAFeedCheckFindsTheTrueSteps(t *testing.T) {
	f := hot(t, nil)
	actual := fed(f, "G1 E100 F50")
	mustBe(t, "fed", actual, 98.4, 0.01)
	better := 93.00 * 100 / actual
	mustBe(t, "new steps/mm", better, 94.512, 0.01)
	mustBe(t, "fed with them", fed(f, fmt.Sprintf("M92 E%.3f", better), "G1 E100 F50"), 100, 0.01)
}

// 100 mm3 are 41.6 mm of 1.75 and 15.7 mm of 2.85 filament: 100 / (pi d^2 / 4).
func TestVolumetricExtrusionFeedsCubicMillimetres(t *testing.T) {
	for diameter, want := range map[float64]float64{1.75: 41.575, 2.85: 15.676} {
		f := hot(t, func(p *Profile) { p.TrueStepsPerMM, p.FilamentMM = 93, diameter })
		mustBe(t, "fed", fed(f, fmt.Sprintf("M200 D%v", diameter), "G1 E100 F10"), want, 0.005)
		mustBe(t, "fed with it off", fed(f, "M200 D0", "G1 E10 F30"), 10, 0.005)
		mustBe(t, "fed with S1", fed(f, "M200 S1 D"+fmt.Sprint(diameter), "G1 E10 F30"), want/10, 0.005)
	}
}

func TestTheFlowMultiplierScalesWhatIsFed(t *testing.T) {
	f := hot(t, func(p *Profile) { p.TrueStepsPerMM = 93 })
	mustBe(t, "fed", fed(f, "M221 S95", "G1 E100 F50"), 95, 0.01)
	mustSay(t, tell(f, "M221"), "echo:E0 Flow: 95%\n")
	mustBe(t, "fed", fed(f, "M221 S100", "G1 E100 F50"), 100, 0.01)
}

func TestTheFeedMultiplierScalesTheTimeItTakes(t *testing.T) {
	f := hot(t, nil)
	took := func(lines ...string) float64 {
		before := f.Snapshot().Now
		tell(f, append(lines, "M400")...)
		return (f.Snapshot().Now - before).Seconds()
	}
	mustBe(t, "seconds at 100 %", took("G1 E20 F60"), 20, 0.15)
	mustBe(t, "seconds at 50 %", took("M220 S50", "G1 E20 F60"), 40, 0.15)
	mustSay(t, tell(f, "M220"), "FR:50%\n")
	mustBe(t, "seconds within M203", took("M220 S100", "M203 E2", "G1 E20 F6000"), 10, 0.15)
}

func TestColdFilamentIsNotPushed(t *testing.T) {
	f := awake(t, func(p *Profile) { p.PathOpen = true })
	said := tell(f, "G1 E10 F60")
	if said != "echo: cold extrusion prevented\nok\n" {
		t.Errorf("said %q", said)
	}
	mustBe(t, "fed", fed(f), 0, 0)
	mustSay(t, tell(f, "M114"), "E:10.00 ")
	mustSay(t, tell(f, "M302"), "echo:Block of cold extrusion is on")
	for _, lift := range []string{"M302 S0", "M302 P1"} {
		f := awake(t, func(p *Profile) { p.PathOpen = true; p.TrueStepsPerMM = 93 })
		mustBe(t, "fed after "+lift, fed(f, lift, "G1 E10.4 F60"), 10, 0.001) // 0.4 mm of play first
		mustSay(t, tell(f, "M302"), "echo:Block of cold extrusion is off")
	}
}

func TestAColdStrandThroughAClosedPathOnlyGrinds(t *testing.T) {
	f := awake(t, nil)
	mustBe(t, "fed", fed(f, "M302 P1", "G1 E10 F60"), 0, 0)
	f.Bench().OpenPath(true)
	mustBe(t, "fed through an open path", fed(f, "M83", "G1 E9.6 F60"), 9.6*93/94.512, 0.001)
}

func TestPlayIsTakenUpOnceAfterEachReversal(t *testing.T) {
	f := hot(t, func(p *Profile) { p.TrueStepsPerMM = 93 })
	mustBe(t, "fed, play taken up", fed(f, "G1 E2 F60"), 2, 0.001)
	mustBe(t, "fed back", fed(f, "G1 E-2 F60"), -1.6, 0.001)
	mustBe(t, "further back", fed(f, "G1 E-2 F60"), -2, 0.001)
	mustBe(t, "forward again", fed(f, "G1 E2 F60"), 1.6, 0.001)
	mustBe(t, "within the play", fed(f, "G1 E-0.3 F60"), 0, 1e-9)
}

func TestAReversedDrivePullsTheStrandOut(t *testing.T) {
	f := hot(t, func(p *Profile) { p.Reversed, p.TrueStepsPerMM = true, 93 })
	mustBe(t, "fed", fed(f, "G1 E10 F60"), -10, 0.001)
}

func TestFilamentSlipsAtItsFlowLimit(t *testing.T) {
	f := hot(t, func(p *Profile) { p.TrueStepsPerMM, p.FlowLimit = 93, 8 })
	area := math.Pi * 1.75 * 1.75 / 4
	speed := func(flow float64) string { return fmt.Sprintf("G1 E50 F%.2f", flow/area*60) }
	mustBe(t, "fed at 2 mm3/s", fed(f, speed(2)), 50, 0.01)
	mustBe(t, "fed at the limit", fed(f, speed(8)), 49, 0.05)
	if got := fed(f, speed(12)); got > 46 {
		t.Errorf("fed %v mm of 50 far beyond the limit", got)
	}
}

// Hotter filament slips less: at the flow that is the limit at 210 C, 2 % × (60/80)^4 at 230 and 2 % × (60/40)^4 at 190.
func TestFilamentSlipsLessTheHotter(t *testing.T) {
	area := math.Pi * 1.75 * 1.75 / 4
	for celsius, percent := range map[float64]float64{190: 10.125, 210: 2, 230: 0.6328} {
		f := hot(t, func(p *Profile) { p.TrueStepsPerMM, p.FlowLimit = 93, 8 })
		tell(f, fmt.Sprintf("M109 R%v", celsius), "G4 S60")
		mustBe(t, fmt.Sprintf("fed at %v C", celsius), fed(f, fmt.Sprintf("G1 E50 F%.2f", 8/area*60)), 50*(1-percent/100), 0.25) // the heater keeps its target within half a degree
	}
}

func TestFirmwareRetractionGoesBackAndForth(t *testing.T) {
	f := hot(t, func(p *Profile) { p.TrueStepsPerMM = 93 })
	mustBe(t, "G10", fed(f, "M207 S2 F1200", "G10"), -1.6, 0.001)
	mustBe(t, "G10 again", fed(f, "G10"), 0, 0)
	mustBe(t, "G11", fed(f, "M208 S0.1 F60", "G11"), 1.7, 0.001)
}

func TestTheBenchMeasuresWhatTheGearDid(t *testing.T) {
	f := hot(t, func(p *Profile) { p.Damp = true })
	b := f.Bench()
	b.Mark(120)
	b.Cut()
	tell(f, "G1 E100 F50", "M400")
	mustBe(t, "leftover", b.LeftoverMM(), 21.6, 0.01)
	mustBe(t, "piece", b.PieceMM(), 98.4, 0.01)
	rule := b.Look(Gauge{0.5, 0.5})
	mustBe(t, "leftover by rule", rule.LeftoverMM, 21.6, 1.2)
	mustBe(t, "half millimetres", math.Mod(rule.LeftoverMM*2, 1), 0, 1e-9)
	caliper := b.Look(Gauge{0.02, 0.03})
	mustBe(t, "leftover by caliper", caliper.LeftoverMM, 21.6, 0.12)
	mustBe(t, "piece by caliper", *caliper.PieceMM, 98.4, 0.12)
	if !caliper.Popping || caliper.GoneIn || caliper.NearMM != nil || caliper.FlagsMM != nil {
		t.Errorf("saw %+v", caliper)
	}
	tell(f, "G1 E30 F50", "M400")
	if l := b.Look(Gauge{0.5, 0.5}); !l.GoneIn {
		t.Errorf("a swallowed mark was read as %+v", l)
	}
}

// However time is cut into pieces, the same lines give the same bytes and the same filament.
func TestTimeInPiecesIsTheSameTime(t *testing.T) {
	script := "M83\nG1 E30 F300\nG1 X10 E2 F1200\nM105\nM400\nM104 S0\nG28 X\nM114\n"
	run := func(pieces func() time.Duration) (string, Snapshot, float64) {
		f := New(Invented())
		f.Advance(2 * time.Second)
		f.Hear([]byte("M109 S200\n"))
		f.Advance(3 * time.Minute)
		f.Hear([]byte(script))
		for left := time.Minute; left > 0; {
			piece := min(pieces(), left)
			f.Advance(piece)
			left -= piece
		}
		return string(f.Say()), f.Snapshot(), f.Bench().FedMM()
	}
	whole, snap, mm := run(func() time.Duration { return time.Hour })
	rapid.Check(t, func(t *rapid.T) {
		span := rapid.SampledFrom([]int{7e7, 1e8, 3e9}).Draw(t, "ns")
		said, s, got := run(func() time.Duration { return time.Duration(rapid.IntRange(span/10, span).Draw(t, "dt")) })
		if said != whole || s.NozzleC != snap.NozzleC || math.Abs(got-mm) > 1e-6 {
			t.Fatalf("said %q, want %q; fed %v, want %v", said, whole, got, mm)
		}
	})
}
