package standin

import (
	"fmt"
	"time"
)

// A heater that is on must rise, and one that has arrived must stay. The spans are invented, of the usual size.
const (
	riseWithin = 20 * time.Second
	riseC      = 2.0
	strayC     = 5.0
	strayFor   = 40 * time.Second
)

// watch is what the firmware remembers of a heater in order to notice that it has failed.
type watch struct {
	arrived bool
	markC   float64       // what it must be above by riseC
	lacking time.Duration // how long it has not been
}

func newWatch(nowC float64) watch { return watch{markC: nowC} }

// look returns a fault in the firmware's words, "" if all is well; it is called at each tick.
func (w *watch) look(targetC, nowC float64) string {
	w.lacking += tick
	switch {
	case nowC >= targetC-2:
		*w = watch{arrived: true}
	case w.arrived && nowC >= targetC-strayC:
		w.lacking = 0
	case w.arrived && w.lacking > strayFor:
		return "Thermal Runaway"
	case !w.arrived && nowC >= w.markC+riseC:
		*w = newWatch(nowC)
	case !w.arrived && w.lacking > riseWithin:
		return "Heating failed"
	}
	return ""
}

// guard stops everything when a heater has failed.
func (f *Firmware) guard() {
	for i := range f.heaters {
		h := &f.heaters[i]
		if h.targetC <= 0 || f.halted {
			continue
		}
		if fault := h.watch.look(h.targetC, f.world.heat[i].tempC); fault != "" {
			f.say(fmt.Sprintf("Error:%s, system stopped! Heater_ID: %s", fault, []string{"0", "bed"}[i]))
			f.halt()
		}
	}
}
