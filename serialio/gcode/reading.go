package gcode

import "bytes"

// Temperatures is what a printer says of its heaters, °C, of the active tool and the bed.
type Temperatures struct {
	NozzleC       float64 `json:"nozzle_c"`
	NozzleTargetC float64 `json:"nozzle_target_c"`
	BedC          float64 `json:"bed_c"`
	BedTargetC    float64 `json:"bed_target_c"`
	HasNozzle     bool    `json:"has_nozzle"`
	HasTarget     bool    `json:"has_target"` // every heater that is reported came with its target
	HasBed        bool    `json:"has_bed"`
	// NoNumber: the nozzle was reported, and not as a number ("T:nan"): its sensor cannot be read. It may be all that a
	// report says, which then is no reading.
	NoNumber bool `json:"-"`
}

// Position is where the printer says it is, mm.
type Position struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
	Z float64 `json:"z"`
	E float64 `json:"e"`
}

// ParseTemperatures reads a report of temperatures in any known spelling, also glued behind "ok". It reports false
// where the line is no such report or is not whole: a reading with a doubtful part is no reading. Of a report that holds no
// number at all it returns NoNumber and false.
func ParseTemperatures(line []byte) (Temperatures, bool) {
	rest := behindOK(line)
	var t Temperatures
	targets, plain := true, false
	for len(rest) > 0 {
		var f field
		var ok bool
		if f, rest, ok = nextField(rest); !ok {
			return Temperatures{}, false
		}
		rest = bytes.TrimLeft(rest, " \t")
		switch {
		case !f.number:
			t.NoNumber = t.NoNumber || is(f.key, "T") || is(f.key, "T0") && !plain
		case is(f.key, "T"), is(f.key, "T0") && !plain: // "T:" is the tool in use, whatever "T0:" says behind it
			plain = plain || is(f.key, "T")
			t.NozzleC, t.NozzleTargetC, t.HasNozzle = f.value, f.target, true
			targets = targets && f.hasTarget
		case is(f.key, "B"):
			t.BedC, t.BedTargetC, t.HasBed = f.value, f.target, true
			targets = targets && f.hasTarget
		}
	}
	t.NoNumber = t.NoNumber && !t.HasNozzle
	t.HasTarget = targets && (t.HasNozzle || t.HasBed)
	return t, t.HasNozzle || t.HasBed
}

// ParsePosition reads "X:0.00 Y:0.00 Z:0.00 E:0.00 Count X:0 Y:0 Z:0"; the counts are motor steps and are passed over.
func ParsePosition(line []byte) (Position, bool) {
	rest := behindOK(line)
	var p Position
	seen := 0
	for len(rest) > 0 {
		if _, ok := cutFold(rest, "count "); ok {
			break
		}
		var f field
		var ok bool
		if f, rest, ok = nextField(rest); !ok || !f.number || f.hasTarget {
			return Position{}, false
		}
		rest = bytes.TrimLeft(rest, " \t")
		for i, axis := range [...]string{"X", "Y", "Z", "E"} {
			if is(f.key, axis) {
				*[...]*float64{&p.X, &p.Y, &p.Z, &p.E}[i] = f.value
				seen |= 1 << i
			}
		}
	}
	return p, seen&7 == 7
}

// behindOK is a line without the "ok" it may begin with, and without that ok's own fields: "ok N3 P15 B3 T:20.1 /0.0".
func behindOK(line []byte) []byte {
	line = bytes.TrimSpace(line)
	if rest, ok := cutFold(line, "ok"); ok {
		line = bytes.TrimSpace(rest)
	}
	_, _, behind := ownFields(line)
	return behind
}

func is(key []byte, name string) bool { return string(key) == name }
