package standin

// TakeOff takes everything off the bed.
func (b Bench) TakeOff() {
	b.at(func(f *Firmware) { f.world.plate.takeOff() })
}

func (p *plate) takeOff() {
	p.heights, p.crossed, p.before, p.air, p.crashed = heights{}, nil, 0, air{}, false
	p.laidZMM, p.layerMM = 0, 0
}

// Load puts other filament in: its material, and whether it is damp.
func (b Bench) Load(m Material, damp bool) {
	b.at(func(f *Firmware) {
		f.profile.Material, f.profile.Damp, f.world.damp = m, damp, damp
		f.world.plate.nature = natureOf(&f.profile)
	})
}

// TrueSufficientMM is the truth of Strings.SufficientMM for this printer. What of the way of crossing is left 0 is as the
// printer now has it: accelerations by its settings, the flow as it was before the gaps on the bed were crossed, if any were.
func (b Bench) TrueSufficientMM(c Crossing) (mm float64, ok bool) {
	b.at(func(f *Firmware) {
		or(&c.TravelAccelMMPerS2, min(f.tuning.travelMMPerS2, f.tuning.maxAccelMMPerS2[axisX]))
		or(&c.RetractAccelMMPerS2, min(f.tuning.retractMMPerS2, f.tuning.maxAccelMMPerS2[axisE]))
		or(&c.FlowMM3PerS, middle(f.world.plate.crossed, func(c crossed) float32 { return c.flow }))
		s := StringsOf(f.profile, c)
		s.feeds = f.tuning.stepsPerMM[axisE] / f.profile.TrueStepsPerMM
		mm, ok = s.SufficientMM()
	})
	return mm, ok
}
