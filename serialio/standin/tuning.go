package standin

import "math"

// tuning is what the settings say about motion and heat, ready for every move.
type tuning struct {
	stepsPerMM      [4]float64 // M92
	maxFeedMMPerS   [4]float64 // M203
	maxAccelMMPerS2 [4]float64 // M201

	printMMPerS2, retractMMPerS2, travelMMPerS2 float64 // M204

	retractMM, retractMMPerMin float64    // M207
	surplusMM, recoverMMPerMin float64    // M208
	areaMM2                    float64    // of the filament, where M200 has E in mm3; 0 where it is in mm
	p, i                       [2]float64 // M301 and M304
}

// tune reads the settings in RAM anew; whoever changes them calls it.
func (f *Firmware) tune() {
	f.tuning = tuning{}
	for i := range f.ram {
		f.tuning.read(&f.ram[i])
	}
}

func (t *tuning) read(r *Row) {
	v := r.Values
	switch r.Word {
	case "M92":
		copy(t.stepsPerMM[:], v)
	case "M203":
		copy(t.maxFeedMMPerS[:], v)
	case "M201":
		copy(t.maxAccelMMPerS2[:], v)
	case "M204":
		t.printMMPerS2, t.retractMMPerS2, t.travelMMPerS2 = v[0], v[1], v[2]
	case "M207":
		t.retractMM, t.retractMMPerMin = v[0], v[1]
	case "M208":
		t.surplusMM, t.recoverMMPerMin = v[0], v[1]
	case "M301":
		t.p[nozzle], t.i[nozzle] = v[0], v[1]
	case "M304":
		t.p[bed], t.i[bed] = v[0], v[1]
	case "M200":
		if d := v[1]; v[0] != 0 && d > 0 {
			t.areaMM2 = math.Pi * d * d / 4
		}
	}
}
