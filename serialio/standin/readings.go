package standin

import (
	"fmt"
	"math"
	"strings"
)

// askTemperatures is M105.
func askTemperatures(f *Firmware, _ block) {
	if f.profile.ReadingsFirst {
		f.say(f.temperatures())
		return
	}
	f.tail = f.temperatures()
}

// temperatures are those of M105, with the power of each heater in 127ths.
func (f *Firmware) temperatures() string {
	inNozzle := f.reading()
	var fields []string
	add := func(key, value string) { fields = append(fields, key+":"+value) }
	if f.profile.Tools == 1 || f.profile.ToolInUse {
		add("T", inNozzle)
	}
	if f.profile.Tools > 1 {
		add("T0", inNozzle)
		for i := 1; i < f.profile.Tools; i++ {
			add(fmt.Sprintf("T%d", i), f.ofTarget(f.profile.AmbientC, 0))
		}
	}
	add("B", f.ofTarget(f.world.heat[bed].tempC, f.heaters[bed].targetC))
	add("@", fixed(math.Floor(f.world.power[nozzle]*127), 0))
	add("B@", fixed(math.Floor(f.world.power[bed]*127), 0))
	return strings.Join(fields, " ")
}

// reading is the nozzle's.
func (f *Firmware) reading() string {
	celsius := f.world.heat[nozzle].tempC
	if !f.frozen && f.liar.mayLie(atReading) {
		celsius = f.tempt(atReading, moment{celsius: celsius}).celsius
	}
	if f.frozen {
		celsius = f.frozenC
	}
	return f.ofTarget(celsius, f.heaters[nozzle].targetC)
}

func (f *Firmware) ofTarget(celsius, targetC float64) string {
	return fixed(celsius, 1) + f.profile.Slash + fixed(targetC, 1)
}
