package serialio

import "fettle/serialio/gcode"

// Status is the engine's own view of the line, in its own time.
type Status struct {
	Version     uint64 // changes whenever anything else does
	State       State
	Why         string
	Since       Mono
	Temps       gcode.Temperatures
	TempsAt     Mono
	HasTemps    bool
	Position    gcode.Position
	PositionAt  Mono
	HasPosition bool
	Identity    gcode.Identity
	Asked       bool // heaters off
	Confirmed   bool
	Fault       string
	Greetings   int
	Breaks      int
	Unsure      int
	Counts      Counts // not among what changes Version
}

// setState says how the line stands and why.
func (e *Engine) setState(s State, why string) {
	if e.status.State != s {
		e.status.State, e.status.Since = s, e.now
	}
	e.status.Why = why
	e.status.Version++
}

// read keeps the readings of a reply. One that is not whole is no reading.
func (e *Engine) read(r gcode.Reply) {
	if r.Doubtful || len(r.Text) == 0 || (r.Kind != gcode.Report && r.Kind != gcode.OK) {
		return
	}
	if t, ok := gcode.ParseTemperatures(r.Text); ok {
		e.status.Temps, e.status.TempsAt, e.status.HasTemps = t, e.now, true
		e.status.Version++
		return
	}
	if p, ok := gcode.ParsePosition(r.Text); ok {
		e.status.Position, e.status.PositionAt, e.status.HasPosition = p, e.now, true
		e.status.Version++
	}
}

// cold reports whether the printer has said since the time given that every target is 0.
func (e *Engine) cold(since Mono) bool {
	s := &e.status
	return s.HasTemps && s.TempsAt >= since && s.Temps.HasTarget && s.Temps.NozzleTargetC == 0 && s.Temps.BedTargetC == 0
}
