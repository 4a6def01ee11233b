package standin

import (
	"math"
	"time"
)

func nozzleTarget(f *Firmware, b block) { f.aimBy(nozzle, b) }
func bedTarget(f *Firmware, b block)    { f.aimBy(bed, b) }
func nozzleWait(f *Firmware, b block)   { f.aimBy(nozzle, b); f.waitHeat(nozzle, b.has('R')) }
func bedWait(f *Firmware, b block)      { f.aimBy(bed, b); f.waitHeat(bed, b.has('R')) }

// aimBy takes S, or R where cooling is waited for as well.
func (f *Firmware) aimBy(i int, b block) {
	for _, letter := range []byte("SR") {
		if v, ok := b.value(letter); ok {
			f.aim(i, v)
			return
		}
	}
}

// waitHeat waits until the temperature has been within 1 C of its target for 3 s. With S a heater that is too hot is
// not waited for.
func (f *Firmware) waitHeat(i int, cooling bool) {
	const within, settled = 1.0, 3 * time.Second
	since := idle
	f.await(wait{heats: true, until: idle, over: func(f *Firmware) bool {
		off := f.world.heat[i].tempC - f.heaters[i].targetC
		if f.heaters[i].targetC <= 0 || off > 0 && !cooling {
			return true
		}
		if math.Abs(off) > within {
			since = idle
			return false
		}
		since = min(since, f.now)
		return f.now-since >= settled
	}})
}

// fanOn is M106: S from 0 to 255.
func fanOn(f *Firmware, b block) {
	v, ok := b.value('S')
	if !ok {
		v = 255
	}
	f.fan = min(max(v, 0), 255)
}

func fanOff(f *Firmware, _ block) { f.fan = 0 }

// coldBlock keeps the gear from grinding filament that the nozzle cannot melt.
type coldBlock struct {
	minC   float64 // M302 S; 0 lifts it
	lifted bool    // M302 P1
}

func (f *Firmware) tooCold() bool {
	return !f.cold.lifted && f.world.heat[nozzle].tempC < f.cold.minC
}

func coldExtrusion(f *Firmware, b block) {
	s, hasS := b.value('S')
	p, hasP := b.value('P')
	if hasS {
		f.cold.minC = max(s, 0)
	}
	if hasP {
		f.cold.lifted = p != 0
	}
	if hasS || hasP {
		return
	}
	state := "on"
	if f.cold.lifted || f.cold.minC == 0 {
		state = "off"
	}
	f.say("echo:Block of cold extrusion is " + state + ", minimum " + fixed(f.cold.minC, 0) + " C")
}
