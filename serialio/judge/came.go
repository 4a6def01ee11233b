package judge

import (
	"bytes"
	"time"
)

// faults are the words of a printer that has stopped itself (from memory of the dialect's public wiki page).
var faults = [...]string{"system stopped", "thermal runaway", "heating failed", "halted", "mintemp", "maxtemp"}

// Came is bytes that have reached the host, as they came.
func (j *Judge) Came(at time.Duration, p []byte) {
	j.back.cut(p, func(line []byte) { j.heardBack(at, line) })
}

// heardBack looks for a fault: heaters must be told to go off.
func (j *Judge) heardBack(at time.Duration, line []byte) {
	if len(line) < 6 || line[0] != 'E' || !bytes.HasPrefix(line, []byte("Error:")) || j.fault.at != 0 {
		return
	}
	said := bytes.ToLower(line)
	for _, word := range faults {
		if bytes.Contains(said, []byte(word)) {
			j.fault = faultWatch{at: at, nozzle: true, bed: true}
			return
		}
	}
}

// cools notes that a heater is told to go off.
func (j *Judge) cools(at time.Duration, text []byte) {
	w := &j.fault
	if !w.nozzle && !w.bed {
		return
	}
	switch string(text) {
	case "M104 S0":
		w.nozzle = false
	case "M140 S0":
		w.bed = false
	}
	if !w.nozzle && !w.bed {
		j.verdict.SlowestCool = max(j.verdict.SlowestCool, at-w.at)
	}
}
