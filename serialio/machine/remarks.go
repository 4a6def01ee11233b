package machine

import (
	"slices"
	"strings"

	"fettle/serialio"
	"fettle/serialio/gcode"
)

// maxRemarks bounds what is kept of a talkative firmware.
const maxRemarks = 20

// remarks is what the firmware said of its own accord, each thing once.
type remarks struct {
	list []string
	cold bool // it refused to push cold filament
}

func (r *remarks) keep(lines []string) {
	for _, line := range lines {
		if !remark(line) {
			continue
		}
		r.cold = r.cold || coldPrevented(line)
		if len(r.list) < maxRemarks && !slices.Contains(r.list, line) {
			r.list = append(r.list, line)
		}
	}
}

// remark reports whether a line is meant for a person. What is of no known form is as likely damage, and what names a
// line number is between the printer and the line.
func remark(line string) bool {
	r := gcode.ParseReply([]byte(line))
	switch r.Kind {
	case gcode.Remark, gcode.Fatal:
		return true
	case gcode.Error:
		return !r.HasLine
	}
	return coldPrevented(line)
}

func coldPrevented(line string) bool {
	line = strings.ToLower(line)
	return strings.Contains(line, "cold extrusion") && strings.Contains(line, "prevent")
}

// said is what came over the wire after line number from, also what answers no line of ours.
func said(w *serialio.Wire, from int64) []string {
	if w == nil {
		return nil
	}
	var lines []string
	for _, l := range w.Since(from) {
		if !l.Out {
			lines = append(lines, l.Text)
		}
	}
	return lines
}

// lastOf is the number of the newest line on the wire.
func lastOf(w *serialio.Wire) int64 {
	if w == nil {
		return 0
	}
	lines := w.Since(0)
	if len(lines) == 0 {
		return 0
	}
	return lines[len(lines)-1].N
}
