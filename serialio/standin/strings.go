package standin

import "math"

// Crossing is how a piece is printed and crossed. The zero value of a field takes the usual number of the stand-in.
type Crossing struct {
	GapsMM              []float64 // 6, 9, 14, 22
	FlowMM3PerS         float64   // while a bead is laid, as it is on average; 4
	TravelMMPerS        float64   // 150
	RetractMMPerS       float64   // 30
	RestartMMPerS       float64   // as RetractMMPerS
	TravelAccelMMPerS2  float64   // 1200
	RetractAccelMMPerS2 float64   // 1500
	NozzleC             float64   // as the material has it
	CeilingMM           float64   // longest length that is looked at: 2, of 2.85 mm 1; behind a tube 8 and 10
}

func (w *Crossing) fill(p *Profile) {
	if w.GapsMM == nil {
		w.GapsMM = []float64{6, 9, 14, 22}
	}
	or(&w.FlowMM3PerS, refMM3PerS)
	or(&w.TravelMMPerS, 150)
	or(&w.RetractMMPerS, 30)
	or(&w.RestartMMPerS, w.RetractMMPerS)
	or(&w.TravelAccelMMPerS2, 1200)
	or(&w.RetractAccelMMPerS2, 1500)
	or(&w.NozzleC, p.Material.NozzleC)
	or(&w.CeilingMM, ceilingMM(p))
}

// ceilingMM is common practice, no source.
func ceilingMM(p *Profile) float64 {
	tube, wide := p.SlackMM > 0.5, p.FilamentMM > 2.3
	switch {
	case tube && wide:
		return 10
	case tube:
		return 8
	case wide:
		return 1
	}
	return 2
}

// Strings is a printer without its line: the same melt, crossed without G-code, for tests of many machines.
type Strings struct {
	nature nature
	playMM float64 // of the gear
	feeds  float64 // truly, of a commanded mm
	way    Crossing
}

// StringsOf builds it from a profile.
func StringsOf(p Profile, w Crossing) Strings {
	p.fill()
	w.fill(&p)
	return Strings{natureOf(&p), p.PlayMM, p.StepsPerMM[axisE] / p.TrueStepsPerMM, w}
}

// Thread is what one crossing leaves: how thick its thread is, and what is missing where the next bead begins.
type Thread struct {
	GapMM    float64
	ThreadUM float64
	VoidMM3  float64
}

// Cross draws back by a length, crosses one gap and restarts.
func (s *Strings) Cross(lengthMM, travelMMPerS, gapMM float64) Thread {
	m := s.nature.standing(s.way.FlowMM3PerS, s.way.NozzleC)
	var t trip
	t.leave(&m)
	strokeMM := max(0, lengthMM*s.feeds-s.playMM)
	if strokeMM > 0 {
		t.landedMM += m.draw(&s.nature, strokeMM, s.strokeS(lengthMM, s.way.RetractMMPerS))
	}
	seconds := newTrapezoid(gapMM, travelMMPerS, s.way.TravelAccelMMPerS2).seconds()
	hung, landed := s.nature.ooze(m.hang(&s.nature, seconds), seconds)
	t.landedMM += landed
	if strokeMM > 0 {
		t.landedMM += m.restore(&s.nature, strokeMM, s.strokeS(lengthMM, s.way.RestartMMPerS))
	}
	return Thread{gapMM, threadUM(hung, gapMM), t.arrive(&m, &s.nature)}
}

func (s *Strings) strokeS(lengthMM, speedMMPerS float64) float64 {
	return newTrapezoid(lengthMM, speedMMPerS, s.way.RetractAccelMMPerS2).seconds()
}

// Band is what each gap of a band looks like; nil gaps are those of the way, a travel speed of 0 is its own.
func (s *Strings) Band(lengthMM, travelMMPerS float64, gapsMM []float64) []Thread {
	or(&travelMMPerS, s.way.TravelMMPerS)
	if gapsMM == nil {
		gapsMM = s.way.GapsMM
	}
	threads := make([]Thread, len(gapsMM))
	for i, gap := range gapsMM {
		threads[i] = s.Cross(lengthMM, travelMMPerS, gap)
	}
	return threads
}

// SufficientMM is the machine's own truth: the shortest length, to 0.01 mm, from which on, at each longer one up to the
// ceiling, no gap shows more than hairs and narrowest and widest differ by at most a grade, and at which there is no void.
// It returns false where there is none.
func (s *Strings) SufficientMM() (float64, bool) {
	least := math.Inf(1)
	var voids bool
	for k := int(math.Round(s.way.CeilingMM * 100)); k >= 0; k-- {
		clean, void := s.judge(float64(k) / 100)
		if !clean {
			break
		}
		least, voids = float64(k)/100, void
	}
	if math.IsInf(least, 1) || voids {
		return 0, false
	}
	return least, true
}

// judge looks at a length without a rater's scatter.
func (s *Strings) judge(lengthMM float64) (clean, voids bool) {
	lowest, highest := 4, 0
	for _, t := range s.Band(lengthMM, 0, nil) {
		g := gradeOf(t.ThreadUM)
		lowest, highest = min(lowest, g), max(highest, g)
		voids = voids || t.VoidMM3 > seenMM3
	}
	return highest <= 1 && highest-lowest <= 1, voids
}
