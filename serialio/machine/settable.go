package machine

import "fettle/serialio/gcode"

// Settable reports whether Set would send the line: whether what it says can be given back.
func Settable(line string) bool {
	b, err := gcode.Parse(line)
	if err != nil {
		return false
	}
	w, ok := given[name(b)]
	return ok && w.hold(b) == nil && len(b.String()) <= maxBlockBytes
}
