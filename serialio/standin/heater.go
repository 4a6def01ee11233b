package standin

// Heaters.
const (
	nozzle = iota
	bed
)

// heater is the firmware's side of one: what it wants, and its PI control. Its gains are those of M301 and M304, in
// 255ths of full power.
type heater struct {
	targetC  float64
	integral float64 // 255ths
	watch    watch
}

func newHeaters() [2]heater { return [2]heater{} }

// maxC is the most that a target is taken for; a larger one is cut to it.
var maxC = [2]float64{nozzle: 290, bed: 120}

// aim changes the target. The integral begins at the power that held such a temperature when the board was tuned.
func (h *heater) aim(celsius, nowC, holdAt float64) {
	h.targetC = celsius
	h.integral = 255 * holdAt
	h.watch = newWatch(nowC)
}

// power is 0 to 1. The integral stands still while the output is at an end, so that it does not wind up.
func (h *heater) power(nowC, p, i float64) float64 {
	if h.targetC <= 0 {
		return 0
	}
	e := h.targetC - nowC
	out := p*e + h.integral
	if out > 0 && out < 255 {
		h.integral += i * e * tick.Seconds()
	}
	return min(max(out, 0), 255) / 255
}

// warm computes heat at each tick.
func (f *Firmware) warm() {
	if f.now%tick != 0 || f.allCold() {
		return
	}
	for i := range f.heaters {
		f.world.power[i] = f.heaters[i].power(f.world.heat[i].tempC, f.tuning.p[i], f.tuning.i[i])
	}
	f.world.warm()
	f.guard()
}

// aim sets a target in degrees C; 0 or less is off.
func (f *Firmware) aim(i int, celsius float64) {
	p := f.world.heat[i]
	celsius = min(max(celsius, 0), maxC[i])
	f.heaters[i].aim(celsius, p.tempC, max(0, (celsius-p.ambientC)/p.riseC))
}
