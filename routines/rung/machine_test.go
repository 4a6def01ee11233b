package rung

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// The machines here have physics of their own: threads in um from equations with smooth corners, not the broken lines
// that the chooser thinks in. All constants are invented; every figure they give is of our own simulation.

// A material is invented.
type material struct {
	threadUM   float64 // a thread across 14 mm without retraction
	goneMM     float64 // stroke at the melt that ends strings
	restUM     float64 // what oozes whatever the stroke
	modulusMPa float64
}

func materials() []material {
	return []material{{60, 0.60, 2, 3400}, {85, 0.85, 4, 2100}, {70, 1.05, 6, 1900}, {110, 1.25, 9, 2600}}
}

// A specimen is one simulated machine with one material.
type specimen struct {
	name       string
	start      Start
	threadUM   float64
	lostMM     float64 // stroke that only takes up slack, spring and play
	goneMM     float64
	restUM     float64
	kneeMM     float64 // how round the corners are
	tilt       float64 // power by which the thread grows with the gap
	deficitMM3 float64 // missing at every restart
	growthMM2  float64 // more missing melt per mm beyond need
	visibleMM3 float64 // from which on a void is seen
	uneven     float64 // how much the threads of bands of one length differ, as a part
}

// specimenOf draws machine number seed: long ones, and each of four materials, in turn.
func specimenOf(seed uint64, tube, wide bool) specimen {
	r := rand.New(rand.NewPCG(seed, 17))
	m := materials()[seed/2%4]
	s := specimen{threadUM: m.threadUM * between(r, 0.8, 1.25), goneMM: m.goneMM * between(r, 0.85, 1.15), restUM: m.restUM * between(r, 0.5, 1.3),
		tilt: between(r, -0.2, 0.2), growthMM2: 0.1, visibleMM3: between(r, 0.08, 0.25), deficitMM3: between(r, 0, 0.04), uneven: 0.06}
	s.start = Start{Tube: tube, FilamentMM: 1.75, LikelyMM: 1, CeilingMM: 2, CommonMM: [2]float64{0.5, 2}}
	s.lostMM, s.kneeMM = between(r, 0, 0.15), between(r, 0.02, 0.06)
	if seed%2 == 1 && !tube {
		s.goneMM *= 1.15 // a long melt zone
	}
	if wide {
		s.widen()
	}
	if tube {
		s.lay(r, m, seed%2 == 1)
	}
	s.spoil(r)
	s.name = fmt.Sprintf("seed %d, tube %v, 2.85 %v", seed, tube, wide)
	return s
}

// widen makes it 2.85 mm filament: 2.65 times the melt per mm.
func (s *specimen) widen() {
	s.start.FilamentMM, s.start.LikelyMM, s.start.CeilingMM, s.start.CommonMM = 2.85, 0.5, 1, [2]float64{0.2, 1}
	s.goneMM, s.lostMM, s.growthMM2 = s.goneMM/2, s.lostMM/2, 0.26
}

// lay gives it a tube. What the person counted and typed is nominal; what is lost is not.
func (s *specimen) lay(r *rand.Rand, m material, long bool) {
	lengthMM, turns, play, bore := between(r, 280, 420), 1+r.IntN(2), 2.0-1.75, between(r, -0.06, 0.05)
	if long {
		lengthMM, turns = between(r, 550, 800), 2+r.IntN(3)
	}
	area, tubeArea := math.Pi*1.75*1.75/4, math.Pi*(16-4)/4
	ceiling, common := 8.0, [2]float64{3, 8}
	if s.start.wide() {
		play, area, tubeArea, ceiling, common = 4.0-2.85, math.Pi*2.85*2.85/4, math.Pi*(36-16)/4, 10, [2]float64{3, 10}
	}
	slack := func(more float64) float64 { return float64(turns) * math.Pi / 2 * (play + more) }
	spring := func(forceN float64) float64 { return forceN * lengthMM * (1/(m.modulusMPa*area) + 1/(500*tubeArea)) }
	s.start = Start{Tube: true, FilamentMM: s.start.FilamentMM, LikelyMM: slack(0) + spring(10) + 0.5 + 0.8, CeilingMM: ceiling, CommonMM: common}
	s.lostMM = slack(bore)*between(r, 0.85, 1.1) + spring(between(r, 5, 18)) + between(r, 0, 1)
	s.goneMM, s.kneeMM = s.goneMM*0.8, between(r, 0.03, 0.09)
}

// spoil makes some machines those where no length serves, or where the start is far off.
func (s *specimen) spoil(r *rand.Rand) {
	switch p := r.Float64(); {
	case p < 0.06:
		s.restUM = between(r, 34, 65) // damp: threads or strings stay; what stays just above hairs nobody can tell from hairs
	case p < 0.09 && s.start.Tube:
		s.lostMM += 2 // a loose tube
	case p < 0.11:
		s.goneMM, s.lostMM = s.goneMM*1.3, s.lostMM+s.start.CeilingMM*0.6 // soft or loose beyond the ceiling
	case p < 0.13:
		s.deficitMM3 = s.visibleMM3 * 1.3 // restarts too slow: voids wherever strings end
	}
}

// threadUM is the thread across a gap, in um.
func (s specimen) thread(lengthMM, gapMM float64) float64 {
	atMelt := rounded(lengthMM-s.lostMM, s.kneeMM)
	left := rounded(1-atMelt/s.goneMM, 0.04)
	taken := 0.0
	if s.start.Tube {
		taken = 0.18 * math.Min(1, lengthMM/s.lostMM)
	}
	return (s.threadUM*(1-taken)*left + s.restUM) * math.Pow(gapMM/14, s.tilt)
}

// missing is the melt that a restart does not bring back, mm3.
func (s specimen) missing(lengthMM float64) float64 {
	oozed := 0.04 * math.Pow(s.thread(lengthMM, 14)/60, 2)
	return s.deficitMM3 + oozed + s.growthMM2*rounded(lengthMM-s.lostMM-s.goneMM, 0.1)
}

// score is the grade of a thread before anybody looks, on a scale with whole numbers at the middle of each grade.
func score(threadUM float64) float64 {
	limitsUM := []float64{0, 8, 25, 45, 80, 120}
	for g := 1; g < len(limitsUM); g++ {
		if threadUM < limitsUM[g] {
			part := (threadUM - limitsUM[g-1]) / (limitsUM[g] - limitsUM[g-1])
			return math.Max(0, float64(g-1)-0.5+part)
		}
	}
	return 4.4
}

func gapsMM() []float64 { return []float64{6, 9, 14, 22} }

// truth is the smallest length from which on, up to the ceiling, no gap shows more than hairs, and at which there are no
// voids; false if there is none.
func (s specimen) truth() (float64, bool) {
	least := math.Inf(1)
	for k := int(s.start.CeilingMM*100 + 0.5); k > 0 && s.hairs(float64(k)/100); k-- {
		least = float64(k) / 100
	}
	return least, !math.IsInf(least, 1) && s.missing(least) < s.visibleMM3
}

// reason is why no length serves, as the findings have it; nothing where one does.
func (s specimen) reason() string {
	switch least, exists := s.truth(); {
	case exists:
		return ""
	case !math.IsInf(least, 1):
		return DoNone
	case s.restUM > 30:
		return DoDamp
	}
	return DoNotReached
}

func (s specimen) hairs(lengthMM float64) bool {
	for _, gap := range gapsMM() {
		if score(s.thread(lengthMM, gap)) >= 1.5 {
			return false
		}
	}
	return true
}

// rounded is x above zero and nothing below, with a corner of a given roundness.
func rounded(x, corner float64) float64 {
	if x > 30*corner {
		return x
	}
	return corner * math.Log1p(math.Exp(x/corner))
}

func between(r *rand.Rand, low, high float64) float64 { return low + (high-low)*r.Float64() }
