package standin

import "time"

func absolute(f *Firmware, _ block)  { f.modes.relative, f.modes.relativeE = false, false }
func relative(f *Firmware, _ block)  { f.modes.relative, f.modes.relativeE = true, true }
func absoluteE(f *Firmware, _ block) { f.modes.relativeE = false }
func relativeE(f *Firmware, _ block) { f.modes.relativeE = true }

func still(f *Firmware, b block) { f.whenStill(nil, b) }

// rename is G92: the place stays, its name changes. Without letters all are zero.
func rename(f *Firmware, b block) {
	for i := range f.modes.at {
		v, ok := b.value(axes[i])
		if ok || len(b.letter) == 0 {
			f.modes.at[i] = v
		}
	}
}

// dwell is G4: P milliseconds or S seconds.
func dwell(f *Firmware, b block) {
	ms, _ := b.value('P')
	s, ok := b.value('S')
	if ok {
		ms = s * 1000
	}
	f.pause(time.Duration(max(ms, 0) * float64(time.Millisecond)))
}

// probe is G29: nine points over the bed, two seconds each. Nothing is measured; it is here because it blocks, and because
// it strikes what stands on the bed.
func probe(f *Firmware, _ block) {
	const probesFromMM = 5
	f.world.plate.crashed = f.world.plate.crashed || f.world.plate.heights.topMM > probesFromMM
	f.pause(18 * time.Second)
}

// home is G28: each axis to its end, off it, and slowly back. Without letters all three. Z may have a place of its own.
func home(f *Firmware, b block) { f.whenStill(homeAxes, b) }

func homeAxes(f *Firmware, b block) {
	all := !b.has('X') && !b.has('Y') && !b.has('Z')
	at := f.world.headMM // once all before is done
	for i := axisX; i <= axisZ; i++ {
		if !all && !b.has(axes[i]) {
			continue
		}
		if place := f.profile.ZHomeMM; i == axisZ && place != [2]float64{} {
			f.goOver(place[0]-at[axisX], place[1]-at[axisY])
		}
		f.homeAxis(i)
		at[i] = 0
	}
	f.whenStill(nil, b)
}

// goOver moves the head by so much, and keeps count of it.
func (f *Firmware) goOver(dx, dy float64) {
	s := step{from: f.modes.at}
	s.delta[axisX], s.delta[axisY] = dx, dy
	f.queueStep(s, 50)
	f.modes.at[axisX] += dx
	f.modes.at[axisY] += dy
}

func (f *Firmware) homeAxis(i int) {
	speed := []float64{50, 50, 5}[i]
	const off = 4
	for _, leg := range []struct{ by, speed float64 }{{-f.world.headMM[i], speed}, {off, speed}, {-off, speed / 5}} {
		s := step{from: f.modes.at}
		s.delta[i] = leg.by
		f.queueStep(s, leg.speed)
	}
	f.modes.at[i], f.origin[i] = 0, 0
}

// retract is G10 by the numbers of M207, unretract is G11 by those of M208 on top.
func retract(f *Firmware, _ block) {
	f.pull(true, -f.tuning.retractMM, f.tuning.retractMMPerMin)
}

func unretract(f *Firmware, _ block) {
	f.pull(false, f.tuning.retractMM+f.tuning.surplusMM, f.tuning.recoverMMPerMin)
}

// pull moves filament without changing what E is called.
func (f *Firmware) pull(retracted bool, mm, feedMMPerMin float64) {
	if f.modes.retracted == retracted {
		return
	}
	f.modes.retracted = retracted
	if f.tooCold() {
		f.say("echo: cold extrusion prevented")
		return
	}
	f.queueStep(step{from: f.modes.at, eMM: mm, eSteps: mm * f.tuning.stepsPerMM[axisE]}, feedMMPerMin/60)
}
